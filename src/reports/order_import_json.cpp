#include "mildway/reports/order_import_report.hpp"

#include "order_json.hpp"

#include <nlohmann/json.hpp>

namespace mildway::reports {

using nlohmann::ordered_json;
using orders::ImportEntry;
using orders::ImportKind;

namespace {

const char* list_name(ImportKind kind) {
    switch (kind) {
        case ImportKind::added:
            return "new";
        case ImportKind::changed:
            return "changed";
        case ImportKind::same:
            return "same";
        case ImportKind::refused:
            return "refused";
    }
    return "";
}

ordered_json entry_json(const ImportEntry& entry) {
    ordered_json json{{"number", entry.order.number}, {"line", nullptr}, {"becomes", list_name(entry.kind)}};
    if (entry.line > 0) json["line"] = entry.line;
    json["along_with"] = nullptr;
    if (!entry.along_with.empty()) json["along_with"] = entry.along_with;
    json["changes"] = changes_json(entry.changes);
    json["plan_ends"] = entry.plan_ends;
    if (entry.kind == ImportKind::added) json["order"] = order_json(entry.order);
    return json;
}

}  // namespace

std::string order_import_json(const orders::ImportPlan& plan, bool applied) {
    ordered_json json{{"document", "mildway order import"}, {"version", 1}, {"file", plan.file}};
    json["applied"] = applied;
    for (const ImportKind kind :
         {ImportKind::added, ImportKind::changed, ImportKind::same, ImportKind::refused})
        json["counts"][list_name(kind)] = plan.count(kind);
    json["orders"] = ordered_json::array();
    for (const ImportEntry& entry : plan.entries) json["orders"].push_back(entry_json(entry));
    return json.dump(2, ' ', false, ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace mildway::reports
