#include "plan_late.hpp"

#include "mildway/odds/late_together.hpp"
#include "mildway/planning/explain.hpp"

#include "layout.hpp"
#include "words.hpp"

#include <algorithm>
#include <cctype>
#include <map>
#include <vector>

#include <fmt/format.h>

namespace mildway::reports {

using planning::Option;
using planning::Plan;
using planning::Workspace;

namespace {

/// "48 h without water" or "48 h without water and 72 h without food", as far as `in_box_h` is longer; else
/// empty.
std::string usual_fasting(double in_box_h, const care::Species& species) {
    std::vector<std::string> longer;
    if (in_box_h > species.without_water_h)
        longer.push_back(fmt::format("{:.0f} h without water", species.without_water_h));
    if (in_box_h > species.without_food_h)
        longer.push_back(fmt::format("{:.0f} h without food", species.without_food_h));
    return fmt::format("{}", fmt::join(longer, " and "));
}

std::string fasting_caution(double in_box_h, const care::Species& species) {
    const std::string usual = usual_fasting(in_box_h, species);
    if (usual.empty()) return "";
    return fmt::format(
        "that is more than the {} that are thought of as usual for it: ask your vet; a judgement", usual);
}

std::string figures_if_late(const Workspace& workspace, const Option& option) {
    const auto& assessment = option.assessment;
    if (!assessment.if_late_one_day) {
        return fmt::format("A day late or more ({}): not known; {}.", chance_text(assessment.late.late()),
                           assessment.late_unknown_reason);
    }
    const auto& late = *assessment.if_late_one_day;
    const auto degrees = [&](double c) { return planning::temperature_text(c, workspace.scale); };
    std::string text = fmt::format(
        "If a service day late ({} are): {}, coldest {} to {}, warmest {} to {}; past a harm limit {}.",
        chance_text(assessment.late.one_day), planning::hours_text(late), degrees(late.coldest_c.p5),
        degrees(late.coldest_c.p95), degrees(late.warmest_c.p5), degrees(late.warmest_c.p95),
        chance_text(late.chance_harm.value));
    if (!assessment.late_unknown_reason.empty()) {
        text += fmt::format(" More than one day late ({}): not known; {}. So no better than tight.",
                            chance_text(assessment.late.more_days), assessment.late_unknown_reason);
    }
    return text;
}

/// "'hub sort' (55 in 100 do)", of the leg after which most late parcels wait.
std::string where_it_waits(const Option& option) {
    const auto& shares = option.lateness.wait_shares;
    std::string leg = fmt::format("'{}'", option.if_late.waits_in);
    if (shares.size() < 2) return leg;
    return fmt::format("{} ({} do)", leg, chance_text(*std::max_element(shares.begin(), shares.end())));
}

double hours_in_box_if_late(const Option& option) {
    if (option.assessment.if_late_one_day) return option.assessment.late_in_box_h.p50;
    return in_hours(option.if_late.trip.end() - option.if_late.trip.packed);
}

std::string way_if_late(const Plan& plan, const Option& option) {
    const double in_box_h = hours_in_box_if_late(option);
    const std::string caution = fasting_caution(in_box_h, *plan.request.species);
    return fmt::format(
        "Then it waits after {}, comes {} and is {:.0f} h in the box{}.", where_it_waits(option),
        format_local(find_zone(plan.request.destination.zone), option.if_late.trip.delivered()), in_box_h,
        caution.empty() ? "" : ": " + caution);
}

/// What one late parcel tells of another of the same night.
std::string late_together(const Option& option) {
    if (option.assessment.late.late() <= 0) return "";
    std::string sentence =
        odds::late_together_sentence(option.assessment.late, option.service->late_together);
    sentence.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(sentence.front())));
    return paragraph("  ", sentence + ".");
}

std::string warmers_low(const Plan& plan, const Option& option) {
    std::string text;
    const Place& destination = plan.request.destination;
    for (const planning::WarmersLow& low : option.if_late.warmers_low) {
        if (low.when >= option.if_late.trip.end()) continue;
        const bool on_time_too = low.when < option.trip.end();
        text += paragraph("  ! ",
                          fmt::format("The {} gives less than half from {} on ({} time), {}.", low.label,
                                      format_local(find_zone(destination.zone), low.when), destination.name,
                                      on_time_too ? "before the box is opened even when it is on time"
                                                  : "before a late box is opened"));
    }
    return text;
}

std::string peak_line(const Option& option) {
    const transit::PeakWeeks* peak = option.service->calendar->peak_on(option.ship_date);
    if (peak == nullptr || peak->late_odds_factor <= 1) return "";
    return paragraph(
        "  ! ", fmt::format("More parcels than usual are late in {}; that is in the chance.", peak->name));
}

/// What weather does to the chance of being late.
std::string hazard_lines(const Option& best) {
    std::string text;
    for (const auto& hazard : best.lateness.found) text += paragraph("  ! ", hazard.text + ".");
    std::vector<std::string> kinds;
    std::map<std::string, std::vector<std::string>> places_of;
    for (const auto& unknown : best.lateness.unknown) {
        if (!places_of.contains(unknown.what)) kinds.push_back(unknown.what);
        auto& places = places_of[unknown.what];
        if (std::find(places.begin(), places.end(), unknown.place) == places.end())
            places.push_back(unknown.place);
    }
    for (std::string& kind : kinds) kind = fmt::format("{} ({})", kind, fmt::join(places_of[kind], ", "));
    if (kinds.empty()) return text;
    return text +
           paragraph("  ! ", fmt::format("Not known, so not in the chance of being late: {}.{}",
                                         fmt::join(kinds, "; "),
                                         best.lateness.winter_unknown ? " So no better than tight." : ""));
}

/// "Sat 6, Sun 7 Mar", or "Thu 26 Nov (Thanksgiving Day)": the days on which a late parcel only waits.
std::string idle_days(const Option& option) {
    const date::sys_days late{option.if_late.trip.delivery_date};
    std::vector<Date> days;
    std::vector<std::string> holidays;
    for (date::sys_days day = date::sys_days(option.trip.delivery_date) + date::days(1); day < late;
         day += date::days(1)) {
        days.emplace_back(day);
        if (const std::string* holiday = option.service->calendar->holiday_on(Date{day}))
            holidays.push_back(*holiday);
    }
    std::string text = days_text(days);
    if (!holidays.empty()) text += fmt::format(", {}", fmt::join(holidays, ", "));
    return text;
}

}  // namespace

std::string on_time_cautions(const Plan& plan, const Option& option) {
    std::string text;
    const auto nights = date::sys_days(option.trip.delivery_date) - date::sys_days(option.ship_date);
    if (nights > date::days(option.service->transit_service_days)) {
        text += paragraph(
            "  ! ", fmt::format("A {} parcel comes on {} even when it is on time: {} nights on its way.",
                                date::format("%A", date::sys_days(option.ship_date)),
                                format_day(option.trip.delivery_date), nights.count()));
    }
    const double in_box_h = option.assessment.in_box_h.p50;
    const std::string caution = fasting_caution(in_box_h, *plan.request.species);
    if (!caution.empty())
        text += paragraph("  ! ", fmt::format("About {:.0f} h in the box: {}.", in_box_h, caution));
    return text;
}

std::string lateness_lines(const Workspace& workspace, const Plan& plan, const Option& option) {
    std::string text = paragraph("  ", figures_if_late(workspace, option));
    text += paragraph("  ", way_if_late(plan, option));
    text += late_together(option);
    if (const std::string trap = trap_sentence(option); !trap.empty()) text += paragraph("  ! ", trap);
    return text + warmers_low(plan, option) + peak_line(option) + hazard_lines(option);
}

std::string trap_sentence(const Option& option) {
    if (!option.if_late.is_trapped()) return "";
    return fmt::format(
        "A {} parcel that comes a service day late comes on {}: {} days later, not 1 (nothing is delivered "
        "on "
        "{}).",
        date::format("%A", date::sys_days(option.ship_date)), format_day(option.if_late.trip.delivery_date),
        option.if_late.days_later, idle_days(option));
}

}  // namespace mildway::reports
