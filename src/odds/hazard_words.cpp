#include "hazard_words.hpp"

#include <fmt/format.h>

namespace mildway::odds {

namespace {

/// 0.178 as "18", 0.035 as "3.5".
std::string in_100(double share) {
    const double percent = 100 * share;
    return percent < 9.95 ? fmt::format("{:.1f}", percent) : fmt::format("{:.0f}", percent);
}

std::string forecast_of(const HazardRule& rule, const HazardChance& found) {
    switch (rule.kind) {
        case HazardKind::snow:
            return fmt::format(", {:.0f} cm forecast", found.amount / 10);
        case HazardKind::ice:
            return fmt::format(", {:.0f} mm forecast", found.amount);
        case HazardKind::gust:
            return fmt::format(", {:.0f} m/s forecast", found.amount);
        case HazardKind::alert:
            return fmt::format(", {}", found.event);
        case HazardKind::thunder:
        case HazardKind::fog:
        case HazardKind::cold:
            return "";
    }
    return "";
}

/// What is not known, as a clause.
std::string clause_of(HazardKind kind, const std::string& place, const std::string& when) {
    const auto not_forecast = [&](const char* what) {
        return fmt::format("{} at {} {} is not forecast", what, place, when);
    };
    switch (kind) {
        case HazardKind::thunder:
            return not_forecast("whether there are thunderstorms");
        case HazardKind::fog:
            return not_forecast("whether there is fog");
        case HazardKind::snow:
            return not_forecast("whether it snows");
        case HazardKind::ice:
            return not_forecast("whether freezing rain falls");
        case HazardKind::gust:
            return not_forecast("how hard it blows");
        case HazardKind::cold:
            return not_forecast("how cold it gets");
        case HazardKind::alert:
            return fmt::format("whether there are warnings for {} is not known", place);
    }
    return "";
}

std::string words_of(HazardKind kind) {
    switch (kind) {
        case HazardKind::thunder:
            return "thunder";
        case HazardKind::fog:
            return "fog";
        case HazardKind::snow:
            return "snow";
        case HazardKind::ice:
            return "freezing rain";
        case HazardKind::gust:
            return "gusts";
        case HazardKind::cold:
            return "cold";
        case HazardKind::alert:
            return "warnings";
    }
    return "";
}

}  // namespace

std::string hazard_sentence(const HazardRule& rule, const HazardChance& found, const std::string& place,
                            const std::string& when, Lateness late) {
    return fmt::format("{} at {} {}: {:.0f} in 100 likely{}; {} in 100 parcels late instead of {}",
                       rule.words, place, when, 100 * found.chance, forecast_of(rule, found),
                       in_100(late.after), in_100(late.before));
}

std::string carried_sentence(const HazardRule& rule, const std::string& place, const std::string& when,
                             Lateness late) {
    return fmt::format("{} at {} {} still holds parcels up: {} in 100 parcels late instead of {}", rule.words,
                       place, when, in_100(late.after), in_100(late.before));
}

UnknownHazard not_forecast(HazardKind kind, const std::string& place, const std::string& when) {
    return {words_of(kind), place, clause_of(kind, place, when) + "; the ordinary odds are used"};
}

UnknownHazard warnings_not_out(const std::string& place, const std::string& when) {
    return {"warnings so far ahead", place,
            fmt::format("warnings for {} {} are not out yet so far ahead", place, when)};
}

UnknownHazard last_nights_unknown(const std::string& place) {
    return {"what the last nights left behind", place,
            fmt::format("what the last nights left behind at {} is not known", place)};
}

}  // namespace mildway::odds
