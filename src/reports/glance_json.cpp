#include "mildway/reports/glance_report.hpp"

#include <cmath>

#include <nlohmann/json.hpp>

namespace mildway::reports {

using nlohmann::ordered_json;

namespace {

ordered_json fan(const weather::Fan& fan) {
    return {{"p5", fan.p5_c}, {"p50", fan.p50_c}, {"p95", fan.p95_c}};
}

ordered_json known(const std::optional<double>& value) {
    return value ? ordered_json(*value) : ordered_json(nullptr);
}

ordered_json time_or_null(const std::optional<Instant>& when) {
    return when ? ordered_json(format_instant(*when)) : ordered_json(nullptr);
}

ordered_json day_json(const weather::DayGlance& day) {
    return {{"date", format_date(day.day)},
            {"hours_known", day.hours_known},
            {"basis_is_climate", day.climate},
            {"low_c", fan(day.low)},
            {"high_c", fan(day.high)},
            {"cloud_share", known(day.cloud_fraction)},
            {"wind_m_per_s", known(day.wind_m_per_s)},
            {"gust_m_per_s", known(day.gust_m_per_s)},
            {"snow_mm", known(day.snow_mm)},
            {"ice_mm", known(day.ice_mm)},
            {"thunder_chance", known(day.thunder_probability)}};
}

ordered_json voice_json(const weather::Voice& voice) {
    return {{"source", voice.source},
            {"read_from", voice.origin},
            {"basis", basis_name(voice.basis)},
            {"issued", format_instant(voice.issued)},
            {"asked", time_or_null(voice.fetched)},
            {"known_until", format_instant(voice.known_until)},
            {"weight", voice.weight},
            {"apart_k", voice.apart_k},
            {"most_apart_k", voice.most_apart_k}};
}

ordered_json alert_json(const weather::Alert& alert) {
    return {{"event", alert.event},
            {"phenomenon", alert.phenomenon},
            {"severity", alert.severity},
            {"begins", format_instant(alert.begins)},
            {"ends", time_or_null(alert.ends)},
            {"headline", alert.headline}};
}

}  // namespace

std::string glance_json(const weather::Glance& glance) {
    const weather::Outlook& outlook = glance.outlook;
    ordered_json json{{"document", "mildway weather"},
                      {"version", kGlanceVersion},
                      {"now", format_instant(glance.now)},
                      {"place", glance.place.name},
                      {"latitude_deg", glance.place.latitude_deg},
                      {"longitude_deg", glance.place.longitude_deg},
                      {"zone", glance.place.zone},
                      {"source", outlook.source},
                      {"read_from", outlook.origin},
                      {"basis", basis_name(outlook.basis)},
                      {"issued", format_instant(outlook.issued)},
                      {"asked", time_or_null(outlook.fetched)},
                      {"climate_from", time_or_null(outlook.climate_from)},
                      {"usable", glance.doubt.empty()}};
    if (!glance.doubt.empty()) json["doubt"] = glance.doubt;
    json["findings"] = outlook.findings;
    json["voices"] = ordered_json::array();
    for (const auto& voice : outlook.voices) json["voices"].push_back(voice_json(voice));
    json["days"] = ordered_json::array();
    for (const auto& day : glance.days) json["days"].push_back(day_json(day));
    json["hours"] = ordered_json::array();
    for (const auto& hour : glance.hours) {
        json["hours"].push_back({{"time", format_instant(hour.hour)},
                                 {"basis_is_climate", hour.climate},
                                 {"temp_c", fan(hour.temp)}});
    }
    json["alerts_known"] = outlook.alerts_known;
    json["alerts"] = ordered_json::array();
    for (const auto& alert : outlook.alerts) json["alerts"].push_back(alert_json(alert));
    json["attributions"] = outlook.attributions;
    return json.dump(2, ' ', false, ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace mildway::reports
