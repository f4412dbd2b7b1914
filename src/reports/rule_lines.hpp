// Rules of law and papers as text.
#pragma once

#include "mildway/care/rules.hpp"

#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

namespace mildway::reports {

/// The rules that may forbid it all, with a heading and what to do about them; empty when there is none.
[[nodiscard]] std::string forbidding_lines(const std::vector<care::Rule>& rules);

/// The other ones, a paragraph each.
[[nodiscard]] std::string asking_lines(const std::vector<care::Rule>& rules);

/// A list of objects, in the same order.
[[nodiscard]] nlohmann::ordered_json rules_json(const std::vector<care::Rule>& rules);

}  // namespace mildway::reports
