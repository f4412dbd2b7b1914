#include "mildway/odds/hazards.hpp"

#include "hazard_chance.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/format.h>

namespace mildway::odds {

namespace {

using transit::LateOdds;
using transit::Role;

/// As transit::late_odds caps it: however bad the night, some parcels get through.
constexpr double kMostLate = 0.9;

/// Aircraft and trucks are held up by what the hub has had shortly before, and by what closes it while the
/// last ones leave (judgement).
constexpr hours kHubMargin{3};

double late_of(const LateOdds& odds) {
    return odds.one_day + odds.more_days;
}

/// When weather at the role's place can hold up the parcel; none when the trip does not go there.
std::optional<Window> window_of(const transit::Trip& trip, Role role) {
    const auto& legs = trip.legs;
    if (role == Role::destination) {
        const auto there = std::find_if(legs.begin(), legs.end(),
                                        [](const transit::Leg& leg) { return leg.to == Role::destination; });
        return there == legs.end() ? std::nullopt : std::optional(Window{there->end, trip.end()});
    }
    if (role == Role::origin) {
        const auto leaving = std::find_if(legs.begin(), legs.end(), [](const transit::Leg& leg) {
            return leg.from == Role::counter && leg.to != Role::counter;
        });
        return leaving == legs.end() ? std::nullopt : std::optional(Window{trip.handed_over, leaving->start});
    }
    const auto first =
        std::find_if(legs.begin(), legs.end(), [](const transit::Leg& leg) { return leg.from == Role::hub; });
    const auto last =
        std::find_if(legs.rbegin(), legs.rend(), [](const transit::Leg& leg) { return leg.to == Role::hub; });
    if (first == legs.end() || last == legs.rend()) return std::nullopt;
    return Window{first->start - kHubMargin, last->end + kHubMargin};
}

/// "in the night of Wed 3 Mar", "on Wed 3 Mar", "between Wed 3 Mar and Fri 5 Mar".
std::string when_of(const date::time_zone& zone, const Window& window) {
    const Date first = local_date(zone, window.from);
    const Date last = local_date(zone, window.until);
    if (first == last) return fmt::format("on {}", format_day(first));
    const bool overnight = date::sys_days(last) - date::sys_days(first) == date::days{1} &&
                           local_hour(zone, window.from) >= 18 && local_hour(zone, window.until) <= 12;
    if (overnight) return fmt::format("in the night of {}", format_day(first));
    return fmt::format("between {} and {}", format_day(first), format_day(last));
}

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
        case HazardKind::cold:
            return "";
    }
    return "";
}

std::string unknown_sentence(HazardKind kind, const std::string& place, const std::string& when) {
    const auto not_forecast = [&](const char* what) {
        return fmt::format("{} at {} {} is not forecast; the ordinary odds are used", what, place, when);
    };
    switch (kind) {
        case HazardKind::thunder:
            return not_forecast("whether there are thunderstorms");
        case HazardKind::snow:
            return not_forecast("whether it snows");
        case HazardKind::ice:
            return not_forecast("whether freezing rain falls");
        case HazardKind::gust:
            return not_forecast("how hard it blows");
        case HazardKind::cold:
            return not_forecast("how cold it gets");
        case HazardKind::alert:
            return fmt::format("whether there are warnings for {} is not known; the ordinary odds are used",
                               place);
    }
    return "";
}

std::string words_of(HazardKind kind) {
    switch (kind) {
        case HazardKind::thunder:
            return "thunder";
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

bool is_winter(HazardKind kind) {
    return kind == HazardKind::snow || kind == HazardKind::ice;
}

/// Goes through the places of a trip and applies what it finds.
class Hazards {
public:
    explicit Hazards(LateOdds base) { out_.odds = base; }

    void visit(const HazardRules& rules, Role role, const weather::PlaceOutlook& at, const Window& window) {
        std::vector<Candidate> candidates;
        for (const HazardRule& rule : rules.all()) {
            const double latitude_deg = std::abs(at.place.latitude_deg);
            const bool here = std::find(rule.places.begin(), rule.places.end(), role) != rule.places.end() &&
                              latitude_deg >= rule.latitude_from_deg &&
                              latitude_deg < rule.latitude_below_deg;
            if (here) candidates.push_back({&rule, chance_of(rule, at, window)});
        }
        const std::string when = when_of(find_zone(at.place.zone), window);
        note_unknown(candidates, at.place.name, when);
        while (!candidates.empty()) {
            const std::string group = candidates.front().rule->group;
            apply(worst_of(candidates, group), role, at.place.name, when);
            std::erase_if(candidates, [&](const Candidate& other) { return other.rule->group == group; });
        }
    }

    HazardousOdds take() { return std::move(out_); }

private:
    struct Candidate {
        const HazardRule* rule;
        HazardChance found;
    };

    [[nodiscard]] LateOdds mixed(const Candidate& candidate) const {
        return mix_hazard(out_.odds, candidate.found.chance, candidate.rule->odds_factor,
                          candidate.rule->two_day_share);
    }

    /// Of two that make as many parcels late, the one that makes them later.
    [[nodiscard]] const Candidate& worst_of(const std::vector<Candidate>& candidates,
                                            const std::string& group) const {
        const auto harm = [&](const Candidate& candidate) {
            if (candidate.rule->group != group) return std::pair(-1.0, -1.0);
            const LateOdds odds = mixed(candidate);
            return std::pair(late_of(odds), odds.more_days);
        };
        return *std::max_element(candidates.begin(), candidates.end(),
                                 [&](const Candidate& a, const Candidate& b) { return harm(a) < harm(b); });
    }

    void apply(const Candidate& candidate, Role role, const std::string& place, const std::string& when) {
        const HazardRule& rule = *candidate.rule;
        const double before = late_of(out_.odds);
        out_.odds = mixed(candidate);
        const double after = late_of(out_.odds);
        if (after - before < kWorthSaying) return;
        out_.found.push_back(
            {rule.id, rule.words, role, candidate.found.chance, rule.odds_factor,
             fmt::format("{} at {} {}: {:.0f} in 100 likely{}; {} in 100 parcels late instead of {}",
                         rule.words, place, when, 100 * candidate.found.chance,
                         forecast_of(rule, candidate.found), in_100(after), in_100(before))});
    }

    void note_unknown(const std::vector<Candidate>& candidates, const std::string& place,
                      const std::string& when) {
        for (const Candidate& candidate : candidates) {
            if (!candidate.found.unknown) continue;
            if (is_winter(candidate.rule->kind)) out_.winter_unknown = true;
            const UnknownHazard unknown{words_of(candidate.rule->kind), place,
                                        unknown_sentence(candidate.rule->kind, place, when)};
            const bool said = std::any_of(out_.unknown.begin(), out_.unknown.end(),
                                          [&](const UnknownHazard& one) { return one.text == unknown.text; });
            if (!said) out_.unknown.push_back(unknown);
        }
    }

    HazardousOdds out_;
};

}  // namespace

LateOdds mix_hazard(LateOdds base, double chance, double odds_factor, double two_day_share) {
    const double late = late_of(base);
    if (chance <= 0 || late <= 0) return base;
    const double odds = odds_factor * late / (1 - late);
    const double late_then = std::max(late, std::min(odds / (1 + odds), kMostLate));
    const double all = (1 - chance) * late + chance * late_then;
    const double more_then = std::max(base.more_days, two_day_share * late_then);  // it makes nothing better
    const double more_days = (1 - chance) * base.more_days + chance * more_then;
    return {all - more_days, more_days};
}

HazardousOdds with_hazards(const HazardRules& rules, LateOdds base, const transit::Trip& on_time,
                           const RoleOutlooks& outlooks) {
    Hazards hazards(base);
    // the carrier takes over at the counter: that is where weather at the origin holds it up
    for (const auto& [role, place] : {std::pair(Role::hub, Role::hub), std::pair(Role::origin, Role::counter),
                                      std::pair(Role::destination, Role::destination)}) {
        const weather::PlaceOutlook& at = *outlooks[static_cast<std::size_t>(place)];
        if (const auto window = window_of(on_time, role)) hazards.visit(rules, role, at, *window);
    }
    return hazards.take();
}

}  // namespace mildway::odds
