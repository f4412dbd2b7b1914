#include "mildway/planning/explain.hpp"

#include "mildway/planning/ranking.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include <fmt/format.h>

namespace mildway::planning {

namespace {

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
    if (leg != nullptr && leg->stretch.from == leg->stretch.to) {
        const double outside_c = outlooks[static_cast<std::size_t>(leg->stretch.to)]->outlook.temp_at(
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
    const double saved_usd = second.cost.total_usd() - first.cost.total_usd();
    if (saved_usd >= 0.01) return fmt::format("#1 costs ${:.2f} less", saved_usd);
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

/// "'van' at Albany NY, 08:15 to 09:50, on the cold side: 0.1 of its 0.2 h"; empty when nothing is outside.
std::string where_the_risk_is(const Option& best, const LaneOutlooks& outlooks) {
    constexpr double kTold = 0.05;  // below it hours_text says 0 h
    const odds::LegShare* worst = worst_leg(best.assessment);
    const double hours = best.assessment.all->hours_outside.value;
    if (worst == nullptr || hours < kTold) return "";
    return fmt::format(
        "The risk of #1 lies most with {}, on the {} side: {:.0f} % of all hours outside{}.",
        leg_text(best.trip, worst->leg, outlooks), worst->hours_cold >= worst->hours_warm ? "cold" : "warm",
        100 * worst->hours() / hours,
        2 * worst->hours_late > worst->hours() ? ", more than half of it when the parcel is late" : "");
}

/// "another day (Wed 3 Mar)".
std::string change_words(const Change& change, bool best_is_held) {
    const Option& option = change.option;
    const auto with = [&](const std::string& what) {
        return fmt::format("{} ({})", change_name(change.kind), what);
    };
    switch (change.kind) {
        case ChangeKind::day:
            return with(format_day(option.ship_date));
        case ChangeKind::service:
            return with(option.service->label);
        case ChangeKind::hold:
            return best_is_held ? fmt::format("leaving at the door ({})", option.service->label)
                                : with(option.service->label);
        case ChangeKind::packing:
            return with(option.packing->label);
        case ChangeKind::one_warmer_more:
        case ChangeKind::one_warmer_less:
            break;
    }
    return std::string(change_name(change.kind));
}

double usd_with_loss(const Option& option) {
    return option.cost.total_usd() + option.expected_loss_usd.value_or(0);
}

/// As the ranking has it, but for what is only cheaper or earlier. Of a change whose late arrivals are not
/// known while those of the best are, nobody can say.
bool is_better(const Option& changed, const Option& best, RankBy by) {
    if (!changed.assessment.late_unknown_reason.empty() && best.assessment.late_unknown_reason.empty())
        return false;
    if (by == RankBy::cost_and_loss) {
        return changed.verdict != best.verdict ? changed.verdict < best.verdict
                                               : usd_with_loss(changed) < usd_with_loss(best);
    }
    const odds::Figures& figures = *changed.assessment.all;
    const odds::Figures& of_best = *best.assessment.all;
    if (!tied(figures.hours_outside, of_best.hours_outside, kTieHours)) return true;
    if (!tied(of_best.hours_outside, figures.hours_outside, kTieHours)) return false;
    if (changed.verdict != best.verdict) return changed.verdict < best.verdict;
    return !tied(figures.chance_harm, of_best.chance_harm, 0.0);
}

/// What makes a change better: "0.0 h instead of 0.2 h too cold, comfortable".
std::string gain_words(const Option& changed, const Option& best, RankBy by) {
    const odds::Figures& figures = *changed.assessment.all;
    const odds::Figures& of_best = *best.assessment.all;
    std::string text = fmt::format("{} instead of {}, {}", hours_text(figures), hours_text(of_best),
                                   verdict_name(changed.verdict));
    if (!tied(figures.chance_harm, of_best.chance_harm, 0.0)) {
        text += fmt::format(", past a harm limit on {:.1f} % of trips instead of {:.1f} %",
                            100 * figures.chance_harm.value, 100 * of_best.chance_harm.value);
    }
    if (by == RankBy::cost_and_loss)
        text += fmt::format(", ${:.2f} with the expected loss instead of ${:.2f}", usd_with_loss(changed),
                            usd_with_loss(best));
    return text;
}

std::string cheaper_than_second(const Option& first, const Option& second) {
    if (first.verdict != second.verdict)
        return fmt::format("#1 is {}, #2 {}; within a verdict, cost and expected loss decide.",
                           verdict_name(first.verdict), verdict_name(second.verdict));
    return fmt::format("#1 costs ${:.2f} with the expected loss, #2 ${:.2f}; both are {}.",
                       usd_with_loss(first), usd_with_loss(second), verdict_name(first.verdict));
}

/// The outlooks along an option's way.
LaneOutlooks outlooks_of(const Stage& stage, const Option& option) {
    for (const Stage::Trip& trip : stage.trips()) {
        if (trip.service == option.service) return stage.outlooks(trip);
    }
    return {};
}

/// Empty when nothing was tried beside the best.
std::string best_single_change(const Plan& plan, const Option& best) {
    if (plan.changes.empty()) return "";
    const RankBy by = plan.request.rank_by;
    const Change* help = nullptr;
    for (const Change& change : plan.changes) {
        if (!is_better(change.option, best, by)) continue;
        if (help == nullptr || is_better(change.option, help->option, by)) help = &change;
    }
    if (help != nullptr) {
        return fmt::format("The best single change to #1 is {}: {}.", change_words(*help, best.service->held),
                           gain_words(help->option, best, by));
    }
    std::vector<std::string> tried;
    for (const Change& change : plan.changes) {
        tried.push_back(fmt::format("{}: {}, {}", change_words(change, best.service->held),
                                    hours_text(*change.option.assessment.all),
                                    verdict_name(change.option.verdict)));
    }
    return fmt::format("No single change to #1 that was tried does better; {}.", fmt::join(tried, "; "));
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
    if (leg == nullptr) return fmt::format("'{}'", leg_name);
    const Place& from = outlooks[static_cast<std::size_t>(leg->stretch.from)]->place;
    const Place& to = outlooks[static_cast<std::size_t>(leg->stretch.to)]->place;
    const std::string hours = fmt::format("{} to {}", format_local_clock(find_zone(from.zone), leg->start),
                                          format_local_clock(find_zone(to.zone), leg->end));
    if (leg->stretch.from == leg->stretch.to) return fmt::format("'{}' at {}, {}", leg_name, to.name, hours);
    return fmt::format("'{}' from {} to {}, {}", leg_name, from.name, to.name, hours);
}

std::vector<std::string> explain(const Plan& plan, const Workspace& workspace, const Stage& stage) {
    std::vector<std::string> sentences;
    if (plan.options.empty() || !plan.options.front().assessment.all) return sentences;
    const Option& best = plan.options.front();
    const auto add = [&](std::string sentence) {
        if (!sentence.empty()) sentences.push_back(std::move(sentence));
    };
    if (plan.options.size() > 1 && plan.options[1].assessment.all) {
        const Option& second = plan.options[1];
        add(plan.request.rank_by == RankBy::cost_and_loss
                ? cheaper_than_second(best, second)
                : first_against_second(best, second, outlooks_of(stage, second), workspace.scale));
    }
    add(where_the_risk_is(best, outlooks_of(stage, best)));
    add(best_single_change(plan, best));
    if (best.verdict != Verdict::comfortable) add(what_to_do(plan));
    return sentences;
}

}  // namespace mildway::planning
