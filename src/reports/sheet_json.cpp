#include "mildway/reports/sheet.hpp"

#include "json_parts.hpp"
#include "rule_lines.hpp"

#include <nlohmann/json.hpp>

namespace mildway::reports {

using nlohmann::ordered_json;

namespace {

ordered_json times_json(const Sheet& sheet) {
    ordered_json all = ordered_json::array();
    for (const SheetTime& time : sheet.times) {
        all.push_back({{"what", time.what},
                       {"planned", format_instant(time.at)},
                       {"latest", time.latest_at ? ordered_json(format_instant(*time.latest_at))
                                                 : ordered_json(nullptr)}});
    }
    return all;
}

ordered_json steps_json(const Sheet& sheet) {
    ordered_json all = ordered_json::array();
    for (const SheetStep& step : sheet.steps) all.push_back({{"title", step.title}, {"text", step.text}});
    return all;
}

ordered_json animals_json(const Sheet& sheet) {
    ordered_json all = ordered_json::array();
    for (const SheetAnimal& animal : sheet.each_animal) {
        all.push_back({{"name", animal.name}, {"mass", animal.mass}, {"shell", text_or_null(animal.shell)}});
    }
    return all;
}

ordered_json cautions_json(const Sheet& sheet) {
    ordered_json all = ordered_json::array();
    for (const care::Advice& caution : sheet.cautions)
        all.push_back({{"text", caution.text}, {"source", caution.source}});
    return all;
}

}  // namespace

std::string sheet_json(const Sheet& sheet) {
    const bool known = sheet.verdict != Verdict::unknown;
    const ordered_json json{{"document", "mildway sheet"},
                            {"version", kSheetVersion},
                            {"order", sheet.number},
                            {"breeder", sheet.breeder},
                            {"animals", sheet.animals},
                            {"scientific", sheet.scientific},
                            {"lane", sheet.lane},
                            {"ship_day", sheet.ship_day},
                            {"service", sheet.service},
                            {"arrival", sheet.arrival},
                            {"packing", sheet.packing},
                            {"bounds", sheet.bounds},
                            {"verdict", verdict_name(sheet.verdict)},
                            {"side", known ? ordered_json(side_name(sheet.side)) : ordered_json(nullptr)},
                            {"judged", sheet.judged},
                            {"assessed", sheet.assessed},
                            {"needs_person", sheet.needs_person()},
                            {"alarms", sheet.alarms},
                            {"remarks", sheet.remarks},
                            {"rules", rules_json(sheet.rules)},
                            {"times", times_json(sheet)},
                            {"steps", steps_json(sheet)},
                            {"animals_to_check", animals_json(sheet)},
                            {"checks", sheet.checks},
                            {"shipper", sheet.shipper},
                            {"consignee", sheet.consignee},
                            {"contents_list", sheet.contents_list},
                            {"marks", sheet.marks},
                            {"cautions", cautions_json(sheet)}};
    return json.dump(2, ' ', false, ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace mildway::reports
