#include "mildway/reports/plan_text.hpp"

#include "layout.hpp"
#include "plan_best.hpp"
#include "plan_days.hpp"
#include "plan_frame.hpp"
#include "plan_table.hpp"

namespace mildway::reports {

std::string plan_text(const planning::Workspace& workspace, const planning::Plan& plan,
                      const TextOptions& options) {
    std::string text =
        plan_head(workspace, plan) + plan_table(plan, options.lines) + plan_best(workspace, plan);
    if (!plan.reasons.empty()) {
        text += "\nWhy:\n";
        for (const auto& reason : plan.reasons) text += paragraph("  ", reason);
    }
    return text + plan_days(plan) + plan_foot(workspace, plan);
}

}  // namespace mildway::reports
