#include "rule_lines.hpp"

#include "json_parts.hpp"
#include "layout.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace mildway::reports {

using nlohmann::ordered_json;

std::string forbidding_lines(const std::vector<care::Rule>& rules) {
    std::string text;
    for (const care::Rule& rule : rules) {
        if (!rule.may_forbid) continue;
        text += paragraph("  ? ", fmt::format("{} ({})", rule.text, rule.source));
        if (!rule.finding.empty()) text += paragraph("  ! ", rule.finding);
    }
    if (text.empty()) return "";
    return "\nFirst: may it be sold and sent at all?\n" + text + paragraph("    ", care::kRulesChange);
}

std::string asking_lines(const std::vector<care::Rule>& rules) {
    std::string text;
    for (const care::Rule& rule : rules) {
        if (!rule.may_forbid) text += paragraph("  ? ", fmt::format("{} ({})", rule.text, rule.source));
    }
    return text;
}

ordered_json rules_json(const std::vector<care::Rule>& rules) {
    ordered_json all = ordered_json::array();
    for (const care::Rule& rule : rules) {
        all.push_back({{"id", rule.id},
                       {"text", rule.text},
                       {"source", rule.source},
                       {"as_read", rule.as_read},
                       {"may_forbid", rule.may_forbid},
                       {"forbids", rule.forbids},
                       {"only_if", rule.only_if},
                       {"finding", text_or_null(rule.finding)}});
    }
    return all;
}

}  // namespace mildway::reports
