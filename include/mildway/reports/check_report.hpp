// The morning's check, for a person and for programs.
#pragma once

#include "mildway/planning/workspace.hpp"
#include "mildway/weekly/check.hpp"

#include <span>
#include <string>
#include <vector>

namespace mildway::reports {

inline constexpr int kCheckVersion = 1;

/// What was checked, in one order.
struct CheckTold {
    std::span<const weekly::Planned> planned;
    const weekly::CheckResult* result = nullptr;
    Instant now;
    /// Numbers of orders that were changed while they were checked: nothing was kept of them.
    std::vector<std::string> not_kept;
};

/// At most 80 columns. Orders that need a person come first, then those of which something changed; the
/// others are counted, or listed as well with `all`.
[[nodiscard]] std::string check_text(const planning::Workspace& workspace, const CheckTold& told, bool all);

[[nodiscard]] std::string check_json(const planning::Workspace& workspace, const CheckTold& told);

}  // namespace mildway::reports
