// A plan for a person at a terminal, 80 columns wide.
#pragma once

#include "mildway/planning/plan.hpp"

#include <string>

namespace mildway::reports {

struct TextOptions {
    std::size_t lines = 8;  ///< of the ranking
};

[[nodiscard]] std::string plan_text(const planning::Workspace& workspace, const planning::Plan& plan,
                                    const TextOptions& options);

}  // namespace mildway::reports
