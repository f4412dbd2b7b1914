#include "mildway/reports/order_edit_report.hpp"

#include "order_json.hpp"
#include "order_words.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <nlohmann/json.hpp>

namespace mildway::reports {

using nlohmann::ordered_json;

namespace {

std::string sharing_lines(const Sharing& sharing) {
    if (sharing.empty()) return "";
    std::string text = "The buyer's other orders changed with it:\n";
    for (const auto& other : sharing) {
        std::string all;
        for (const auto& change : other.changes)
            all += fmt::format("{}{}: {} -> {}", all.empty() ? "" : "; ", change.field,
                               shown_value(change.before), shown_value(change.after));
        text += lines_of("  ", fmt::format("{} ({}): {}", other.number, state_words(other.state), all));
    }
    return text;
}

ordered_json sharing_json(const Sharing& sharing) {
    ordered_json all = ordered_json::array();
    for (const auto& other : sharing)
        all.push_back({{"number", other.number},
                       {"state", orders::state_name(other.state)},
                       {"changes", changes_json(other.changes)}});
    return all;
}

}  // namespace

std::string order_added_text(const orders::Order& order, const Sharing& sharing,
                             const care::SpeciesTable& species) {
    return lines_of(order.number + ": ",
                    fmt::format("{} to {}, {}; entered as open", counted_species(order, species),
                                order.place.name, wanted_text(order))) +
           sharing_lines(sharing);
}

std::string order_added_json(const orders::Order& order, const Sharing& sharing) {
    ordered_json json{{"document", "mildway order add"}, {"version", 1}};
    json["shared"] = sharing_json(sharing);
    json["order"] = order_json(order);
    return json.dump(2, ' ', false, ordered_json::error_handler_t::replace) + "\n";
}

std::string order_edited_text(const orders::Order& order, const std::vector<orders::FieldChange>& changes,
                              const EndedByEdit& ended, const Sharing& sharing) {
    if (changes.empty()) return fmt::format("{}: nothing was different.\n", order.number);
    std::string text = order.number + " changed:\n";
    for (const auto& change : changes)
        text += lines_of("  ", fmt::format("{}: {} -> {}", change.field, shown_value(change.before),
                                           shown_value(change.after)));
    if (!ended.plan.empty())
        text += lines_of("! ", fmt::format("Its plan does not stand any more, so it is open again: {}.",
                                           fmt::join(ended.plan, "; ")));
    if (!ended.proposal.empty())
        text += lines_of("! ", fmt::format("The days that were proposed do not stand any more: {}. "
                                           "'mildway week --propose' looks again.",
                                           fmt::join(ended.proposal, "; ")));
    return text + sharing_lines(sharing);
}

std::string order_edited_json(const orders::Order& order, const std::vector<orders::FieldChange>& changes,
                              const EndedByEdit& ended, const Sharing& sharing) {
    ordered_json json{{"document", "mildway order edit"}, {"version", 1}};
    json["changes"] = changes_json(changes);
    json["plan_ends"] = ended.plan;
    json["proposal_ends"] = ended.proposal;
    json["shared"] = sharing_json(sharing);
    json["order"] = order_json(order);
    return json.dump(2, ' ', false, ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace mildway::reports
