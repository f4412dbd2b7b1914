#include "mildway/planning/explain.hpp"
#include "mildway/reports/box_report.hpp"
#include "mildway/reports/timeline_report.hpp"

#include "layout.hpp"

#include <fmt/format.h>

namespace mildway::reports {

namespace {

double shown(double temp_c, planning::TemperatureScale scale) {
    return scale == planning::TemperatureScale::celsius ? temp_c : to_fahrenheit(Celsius(temp_c));
}

std::string triple(const odds::Spread& s, planning::TemperatureScale scale) {
    return fmt::format("{:4.0f}{:4.0f}{:4.0f}", shown(s.p5, scale), shown(s.p50, scale), shown(s.p95, scale));
}

std::string fine_triple(const odds::Spread& s, planning::TemperatureScale scale) {
    return fmt::format("{:6.1f}{:6.1f}{:6.1f}", shown(s.p5, scale), shown(s.p50, scale), shown(s.p95, scale));
}

/// "Tue 15:10": the day of the month is in the heading of the report.
std::string day_and_clock(const date::time_zone& zone, Instant when) {
    return format_local(zone, when).substr(0, 3) + " " + format_local_clock(zone, when);
}

/// A line for each leg that has begun by this moment and has none yet: its name, setting and place.
std::size_t add_headings(const TimelineSubject& subject, const odds::Moment& moment, std::size_t headed,
                         std::string& text) {
    const auto& legs = subject.trip->legs;
    for (; headed < legs.size() && (headed == 0 || legs[headed].start <= moment.when); ++headed) {
        const transit::Leg& leg = legs[headed];
        const std::string& setting = subject.workspace->settings.at(leg.setting).name;
        const bool stays = leg.stretch.from == leg.stretch.to;
        const std::string place = stays ? " at " + subject.lane->at(leg.stretch.to).name : "";
        text += paragraph(
            "", fmt::format("{}{}{}", leg.name, place, setting == leg.name ? "" : " (" + setting + ")"));
    }
    return headed;
}

/// " One service day late, waiting after 'hub sort'."; empty of a trip on time.
std::string late_words(const TimelineSubject& subject) {
    const transit::Late& late = subject.trip->late;
    if (late.service_days == 0) return "";
    const transit::Service& service = *subject.service;
    return fmt::format(" {} late, waiting after '{}'.",
                       late.service_days == 1 ? "One service day" : "Two service days",
                       service.legs[service.waits[late.wait].leg].name);
}

std::string mark(const odds::Spread& animals, const care::Band& safe) {
    if (animals.p5 < safe.low_c && animals.p95 > safe.high_c) return " either";
    if (animals.p5 < safe.low_c) return " cold";
    if (animals.p95 > safe.high_c) return " warm";
    return "";
}

}  // namespace

std::string timeline_text(const TimelineSubject& subject, const odds::Timeline& timeline) {
    const auto& workspace = *subject.workspace;
    const auto& zone = find_zone(workspace.origin.zone);
    const auto degrees = [&](double c) { return planning::temperature_text(c, workspace.scale); };
    std::string text =
        paragraph("", fmt::format("{} x {} from {} to {}: {}, {}, {}.{}", subject.contents.count,
                                  subject.species->common, workspace.origin.name,
                                  subject.lane->at(transit::Role::destination).name,
                                  format_day(subject.trip->ship_date), subject.service->label,
                                  subject.packing->label, late_words(subject)));
    text += paragraph(
        "", fmt::format("Safe from {} to {}. Times are {} time; temperatures {}: of 100 trips, 5 are below "
                        "the first figure, 50 below the second, 95 below the third.",
                        degrees(subject.species->safe.low_c), degrees(subject.species->safe.high_c),
                        workspace.origin.name,
                        workspace.scale == planning::TemperatureScale::celsius ? "°C" : "°F"));
    if (subject.explain_box) text += "\n" + box_text(explained_box(subject, timeline));
    text += fmt::format("\n{:15}{:^12}    {:^12}    {:^18}\n", "", "Air around", "Inside the box", "Animals");
    text += fmt::format("{:15}{}    {}    {}\n", "", "   5  50  95", "   5  50  95", "     5    50    95");
    std::size_t headed = 0;
    for (const auto& moment : timeline.moments) {
        headed = add_headings(subject, moment, headed, text);
        text += fmt::format(
            "  {:11}  {}    {}    {}{}\n", day_and_clock(zone, moment.when),
            triple(moment.around_c, workspace.scale), triple(moment.cavity_c, workspace.scale),
            fine_triple(moment.animals_c, workspace.scale), mark(moment.animals_c, subject.species->safe));
    }
    if (!timeline.cut_short.empty())
        text += paragraph("", fmt::format("Not known after that: {}.", timeline.cut_short));
    return text;
}

}  // namespace mildway::reports
