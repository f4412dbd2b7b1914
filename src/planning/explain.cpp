#include "mildway/planning/explain.hpp"

#include "mildway/planning/ranking.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include <fmt/format.h>

namespace mildway::planning {

namespace {

double expected_hours(const Option& option) {
    return option.assessment.all->hours_outside.value;
}

const transit::Leg* find_leg(const transit::Trip& trip, const std::string& name) {
    const auto found = std::find_if(trip.legs.begin(), trip.legs.end(),
                                    [&](const transit::Leg& l) { return l.name == name; });
    return found == trip.legs.end() ? nullptr : &*found;
}

/// ", most of it during 'van' at Duluth MN (-8 °C outside then)"; empty when nothing is outside.
std::string where_it_goes_wrong(const Option& option, const LaneOutlooks& outlooks, TemperatureScale scale) {
    const odds::LegShare* worst = worst_leg(option.assessment);
    if (worst == nullptr) return "";
    std::string text = fmt::format(", most of it during {}", leg_text(option.trip, worst->leg, outlooks));
    const transit::Leg* leg = find_leg(option.trip, worst->leg);
    if (leg != nullptr && leg->from == leg->to) {
        const double outside_c = outlooks[static_cast<std::size_t>(leg->to)]->outlook.temp_at(
            leg->start + (leg->end - leg->start) / 2);
        if (!std::isnan(outside_c))
            text += fmt::format(" ({} outside then)", temperature_text(outside_c, scale));
    }
    return text;
}

std::string why_tied(const Option& first, const Option& second) {
    if (first.verdict != second.verdict) {
        return fmt::format("#1 is {}, #2 {}", verdict_name(first.verdict), verdict_name(second.verdict));
    }
    const auto& a = *first.assessment.all;
    const auto& b = *second.assessment.all;
    if (!tied(a.chance_harm, b.chance_harm, 0.0)) {
        return fmt::format("#1 crosses a harm limit less often ({:.1f} % of trips against {:.1f} %)",
                           100 * a.chance_harm.value, 100 * b.chance_harm.value);
    }
    if (second.cost_usd - first.cost_usd >= 0.01)
        return fmt::format("#1 costs ${:.2f} less", second.cost_usd - first.cost_usd);
    if (first.ship_date < second.ship_date) return "#1 leaves earlier";
    return "nothing else tells them apart";
}

std::string first_against_second(const Option& first, const Option& second, const LaneOutlooks& outlooks,
                                 TemperatureScale scale) {
    const auto& a = first.assessment.all->hours_outside;
    const auto& b = second.assessment.all->hours_outside;
    if (tied(a, b, kTieHours)) {
        return fmt::format(
            "#1 and #2 keep the animals equally well, as far as can be told ({} and {} outside the safe "
            "band); {}.",
            hours_text(*first.assessment.all), hours_text(*second.assessment.all), why_tied(first, second));
    }
    return fmt::format("#1 beats #2 because #2 means {} instead of {}{}.", hours_text(*second.assessment.all),
                       hours_text(*first.assessment.all), where_it_goes_wrong(second, outlooks, scale));
}

/// An option that differs from the best in one thing.
struct Change {
    const Option* other = nullptr;  ///< nullptr: none was tried
    std::string name;
    std::string words;
    [[nodiscard]] double gain_h(const Option& best) const {
        return expected_hours(*other) - expected_hours(best);
    }
};

Change earliest_day(const Plan& plan, const Option& best) {
    const Option* other = nullptr;
    for (const Option& option : plan.options) {
        if (!option.assessment.all || option.ship_date >= best.ship_date) continue;
        if (other == nullptr || option.ship_date < other->ship_date)
            other = &option;  // best first within a day
    }
    if (other == nullptr) return {};
    return {other, "waiting",
            fmt::format("waiting: the best that {} offers is {} ({}, {})", format_day(other->ship_date),
                        hours_text(*other->assessment.all), other->service->label, other->packing->label)};
}

/// The best-ranked option of the best one's day for which `fits`.
template <class Fits>
const Option* best_other(const Plan& plan, const Option& best, Fits fits) {
    const auto found = std::find_if(plan.options.begin(), plan.options.end(), [&](const Option& option) {
        return option.assessment.all && option.ship_date == best.ship_date && fits(option);
    });
    return found == plan.options.end() ? nullptr : &*found;
}

Change warmer_or_none(const Plan& plan, const Option& best) {
    const bool warm = !best.packing->warmers.empty();
    const Option* other = best_other(plan, best, [&](const Option& o) {
        return o.service == best.service && o.packing->warmers.empty() == warm;
    });
    if (other == nullptr) return {};
    return {other, warm ? "the warmer" : "leaving the warmer out",
            fmt::format("{}, the same day and service means {} at best ({})",
                        warm ? "the warmer: without one" : "leaving the warmer out: with one",
                        hours_text(*other->assessment.all), other->packing->label)};
}

Change other_service(const Plan& plan, const Option& best) {
    const Option* other = best_other(plan, best, [&](const Option& o) { return o.service != best.service; });
    if (other == nullptr) return {};
    return {other, "the service",
            fmt::format("the service: by '{}' the same day means {} at best ({})", other->service->label,
                        hours_text(*other->assessment.all), other->packing->label)};
}

/// The calmest verdict that any option got, and the first option that got it. Expected hours rank first, so
/// it need not be the one on top.
const Option& calmest(const Plan& plan) {
    return *std::min_element(plan.options.begin(), plan.options.end(),
                             [](const Option& a, const Option& b) { return a.verdict < b.verdict; });
}

/// When the best option is not comfortable.
std::string what_to_do(const Plan& plan) {
    const Option& calm = calmest(plan);
    if (calm.verdict == Verdict::unsafe) {
        return "Nothing tried is fit for this animal: keep it home, and plan again when the forecast "
               "changes.";
    }
    if (calm.verdict != plan.options.front().verdict) {
        return fmt::format("#{} is {}, though with more time outside: {}, {}, {}.", calm.rank,
                           verdict_name(calm.verdict), format_day(calm.ship_date), calm.service->label,
                           calm.packing->label);
    }
    return "Nothing tried is comfortable: look again the morning before, and be ready to wait.";
}

/// Empty when nothing was tried beside the best.
std::string what_helps_most(const Plan& plan, const Option& best) {
    std::vector<Change> changes{earliest_day(plan, best), warmer_or_none(plan, best),
                                other_service(plan, best)};
    std::erase_if(changes, [](const Change& change) { return change.other == nullptr; });
    if (changes.empty()) return "";
    const auto most = std::max_element(changes.begin(), changes.end(), [&](const Change& a, const Change& b) {
        return a.gain_h(best) < b.gain_h(best);
    });
    if (most->gain_h(best) > kTieHours) return fmt::format("What helps most is {}.", most->words);
    std::string names;
    for (const Change& change : changes) names += (names.empty() ? "" : " or by ") + change.name;
    return fmt::format("Little is gained here by {}.", names);
}

}  // namespace

std::string temperature_text(double temp_c, TemperatureScale scale) {
    const double shown = scale == TemperatureScale::celsius ? temp_c : to_fahrenheit(Celsius(temp_c));
    return fmt::format("{:.0f} {}", std::round(shown) + 0.0,
                       scale == TemperatureScale::celsius ? "°C" : "°F");
}

std::string hours_text(const odds::Figures& figures) {
    if (figures.hours_outside.value < 0.05) return "0 h";
    return fmt::format("{:.1f} h too {}", figures.hours_outside.value,
                       figures.hours_cold >= figures.hours_warm ? "cold" : "warm");
}

std::string leg_text(const transit::Trip& trip, const std::string& leg_name, const LaneOutlooks& outlooks) {
    const transit::Leg* leg = find_leg(trip, leg_name);
    if (leg == nullptr || leg->from != leg->to) return fmt::format("'{}'", leg_name);
    return fmt::format("'{}' at {}", leg_name, outlooks[static_cast<std::size_t>(leg->to)]->place.name);
}

std::vector<std::string> explain(const Plan& plan, const LaneOutlooks& outlooks, TemperatureScale scale) {
    std::vector<std::string> sentences;
    if (plan.options.empty() || !plan.options.front().assessment.all) return sentences;
    const Option& best = plan.options.front();
    if (plan.options.size() > 1 && plan.options[1].assessment.all) {
        sentences.push_back(first_against_second(best, plan.options[1], outlooks, scale));
    }
    if (std::string help = what_helps_most(plan, best); !help.empty()) sentences.push_back(std::move(help));
    if (best.verdict != Verdict::comfortable) sentences.push_back(what_to_do(plan));
    return sentences;
}

}  // namespace mildway::planning
