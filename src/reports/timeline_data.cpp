#include "mildway/reports/box_report.hpp"
#include "mildway/reports/timeline_report.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace mildway::reports {

using nlohmann::ordered_json;

namespace {

/// RFC 4180: a field with a comma, a quote or a line break stands in quotes, quotes doubled.
std::string csv_field(const std::string& text) {
    if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
    std::string quoted = "\"";
    for (const char letter : text) quoted += letter == '"' ? std::string("\"\"") : std::string(1, letter);
    return quoted + "\"";
}

std::string csv_spread(const odds::Spread& s) {
    return fmt::format("{:.2f},{:.2f},{:.2f}", s.p5, s.p50, s.p95);
}

ordered_json spread(const odds::Spread& s) {
    return {{"p5", s.p5}, {"p50", s.p50}, {"p95", s.p95}};
}

}  // namespace

std::string timeline_csv(const TimelineSubject& subject, const odds::Timeline& timeline) {
    const auto& zone = find_zone(subject.workspace->origin.zone);
    std::string csv =
        "time_utc,time_origin_local,leg,setting,around_p5_c,around_p50_c,around_p95_c,cavity_p5_c,cavity_p50_"
        "c,"
        "cavity_p95_c,animals_p5_c,animals_p50_c,animals_p95_c,on_its_way_share\r\n";
    for (const auto& moment : timeline.moments) {
        csv += fmt::format(
            "{},{},{},{},{},{},{},{:.4f}\r\n", format_instant(moment.when),
            date::format("%FT%R", date::floor<minutes>(zone.to_local(moment.when))), csv_field(moment.leg),
            csv_field(subject.workspace->settings.at(moment.setting).name), csv_spread(moment.around_c),
            csv_spread(moment.cavity_c), csv_spread(moment.animals_c), moment.on_its_way);
    }
    return csv;
}

std::string timeline_json(const TimelineSubject& subject, const odds::Timeline& timeline) {
    ordered_json json{
        {"document", "mildway trace"},
        {"version", 1},
        {"ship_date", format_date(subject.trip->ship_date)},
        {"service", subject.service->id},
        {"packing", subject.packing->id},
        {"destination", subject.lane->at(transit::Role::destination).name},
        {"species", subject.species->id},
        {"safe", {{"low_c", subject.species->safe.low_c}, {"high_c", subject.species->safe.high_c}}}};
    const transit::Late& late = subject.trip->late;
    const transit::Service& service = *subject.service;
    json["late_days"] = late.service_days;
    json["late_after"] = late.service_days > 0 ? ordered_json(service.legs[service.waits[late.wait].leg].name)
                                               : ordered_json(nullptr);
    json["cut_short"] = timeline.cut_short.empty() ? ordered_json(nullptr) : ordered_json(timeline.cut_short);
    if (subject.explain_box) json["box"] = box_json(explained_box(subject, timeline));
    json["moments"] = ordered_json::array();
    for (const auto& moment : timeline.moments) {
        ordered_json entry{{"time", format_instant(moment.when)},
                           {"leg", moment.leg},
                           {"setting", subject.workspace->settings.at(moment.setting).name},
                           {"around_c", spread(moment.around_c)},
                           {"cavity_c", spread(moment.cavity_c)},
                           {"animals_c", spread(moment.animals_c)},
                           {"on_its_way_share", moment.on_its_way}};
        if (moment.coolant_c) entry["coolant_c"] = spread(*moment.coolant_c);
        if (moment.oxygen_share_p50) entry["oxygen_share_p50"] = *moment.oxygen_share_p50;
        json["moments"].push_back(std::move(entry));
    }
    return json.dump(2, ' ', false, ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace mildway::reports
