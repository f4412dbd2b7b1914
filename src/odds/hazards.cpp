#include "mildway/odds/hazards.hpp"

#include "hazard_chance.hpp"
#include "hazard_windows.hpp"
#include "hazard_words.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace mildway::odds {

namespace {

using transit::kMostLate;
using transit::LateOdds;
using transit::Role;
using weather::PlaceOutlook;

/// Unknown snow or ice of an earlier night keeps a verdict from being comfortable when, had it come, it would
/// still make so many parcels late (judgement).
constexpr double kCarriedMatters = 0.05;

bool is_winter(HazardKind kind) {
    return kind == HazardKind::snow || kind == HazardKind::ice;
}

/// A rule that holds at a place, and what the outlook makes of it.
struct Candidate {
    const HazardRule* rule;
    HazardChance found;
};

std::vector<Candidate> candidates_at(const HazardRules& rules, Role role, const PlaceOutlook& at,
                                     const WindowHours& window) {
    const double latitude_deg = std::abs(at.place.latitude_deg);
    std::vector<Candidate> candidates;
    for (const HazardRule& rule : rules.all()) {
        const bool here = std::find(rule.places.begin(), rule.places.end(), role) != rule.places.end() &&
                          latitude_deg >= rule.latitude_from_deg && latitude_deg < rule.latitude_below_deg;
        if (here) candidates.push_back({&rule, chance_of(rule, at, window)});
    }
    return candidates;
}

LateOdds mixed(LateOdds odds, const Candidate& candidate) {
    return mix_hazard(odds, candidate.found.chance, candidate.rule->odds_factor,
                      candidate.rule->two_day_share);
}

/// Of two that make as many parcels late, the one that makes them later.
const Candidate& worst_of(const std::vector<Candidate>& candidates, const std::string& group, LateOdds odds) {
    const auto harm = [&](const Candidate& candidate) {
        if (candidate.rule->group != group) return std::pair(-1.0, -1.0);
        const LateOdds then = mixed(odds, candidate);
        return std::pair(then.late(), then.more_days);
    };
    return *std::max_element(candidates.begin(), candidates.end(),
                             [&](const Candidate& a, const Candidate& b) { return harm(a) < harm(b); });
}

/// Lets the worst of each group make parcels late, one after the other; tells `each` of it.
template <class Each>
LateOdds after_all(std::vector<Candidate> candidates, LateOdds odds, Each each) {
    while (!candidates.empty()) {
        const std::string& group = candidates.front().rule->group;  // of the rules, which outlive the list
        const Candidate& worst = worst_of(candidates, group, odds);
        const LateOdds then = mixed(odds, worst);
        each(worst, odds, then);
        odds = then;
        std::erase_if(candidates, [&](const Candidate& other) { return other.rule->group == group; });
    }
    return odds;
}

/// `odds` and a share of what a night made of `base` more than it, at most kMostLate.
LateOdds with_excess(LateOdds odds, LateOdds base, LateOdds night, double share) {
    const double excess = share * (night.late() - base.late());
    if (excess <= 0) return odds;
    const double late = std::min(odds.late() + excess, std::max(odds.late(), kMostLate));
    const double taken = (late - odds.late()) / excess;
    const double more_days =
        std::min(late, odds.more_days + taken * share * (night.more_days - base.more_days));
    return {late - more_days, more_days};
}

/// Goes through the places of a trip and applies what it finds.
class Hazards {
public:
    Hazards(const HazardRules& rules, const transit::Service& service, LateOdds base)
        : rules_(&rules), service_(&service), base_(base) {
        out_.odds = base;
        for (const transit::Wait& wait : service.waits) out_.wait_shares.push_back(wait.share);
    }

    /// Rules and windows of `role`; late parcels wait at `place`.
    void visit(Role role, Role place, const PlaceOutlook& at, const Window& window) {
        const auto candidates = candidates_at(*rules_, role, at, WindowHours(at.place, window));
        note_unknown(candidates, at, window);
        const LateOdds before = out_.odds;
        out_.odds = after_all(candidates, before, [&](const Candidate& worst, LateOdds odds, LateOdds then) {
            if (then.late() - odds.late() < kWorthSaying) return;
            out_.found.push_back({worst.rule->id, worst.rule->words, role, worst.found.chance,
                                  worst.rule->odds_factor, 0,
                                  hazard_sentence(*worst.rule, worst.found, at.place.name,
                                                  when_of(at.place, window), {odds.late(), then.late()})});
        });
        if (role == Role::hub || role == Role::second_hub) {
            for (std::size_t night = 0; night < kCarriedOver.size(); ++night)
                carry_over(role, at, window, static_cast<int>(night) + 1, kCarriedOver[night]);
        }
        wait_at(place, before.late());
    }

    HazardousOdds take() { return std::move(out_); }

private:
    /// What is left of the night so many days before.
    void carry_over(Role role, const PlaceOutlook& at, const Window& tonight, int nights_before,
                    double share) {
        const hours back{24 * nights_before};
        // a long stay at the hub reaches over several nights: none of them counts twice
        const Window night{tonight.from - back,
                           std::min(tonight.until - back, tonight.from - back + hours(24))};
        const Window covered{std::max(night.from, at.outlook.first_hour), night.until};
        const auto candidates = candidates_at(*rules_, role, at, WindowHours(at.place, covered));
        if (candidates.empty()) return;
        if (covered.from > night.from) note(last_nights_unknown(at.place.name));
        if (covered.from >= covered.until) return;
        note_unknown_before(candidates, at, night, share);

        const Candidate& most = *std::max_element(candidates.begin(), candidates.end(),
                                                  [&](const Candidate& a, const Candidate& b) {
                                                      return mixed(base_, a).late() < mixed(base_, b).late();
                                                  });
        const LateOdds then = after_all(candidates, base_, [](const Candidate&, LateOdds, LateOdds) {});
        const LateOdds before = out_.odds;
        out_.odds = with_excess(before, base_, then, share);
        if (out_.odds.late() - before.late() < kWorthSaying) return;
        out_.found.push_back({most.rule->id, most.rule->words, role, most.found.chance,
                              most.rule->odds_factor, nights_before,
                              carried_sentence(*most.rule, at.place.name, when_of(at.place, night),
                                               {before.late(), out_.odds.late()})});
    }

    /// Parcels that were made late since `late_before` wait at that place: after the legs that end there, in
    /// proportion to how many wait after each; after any when none ends there.
    void wait_at(Role place, double late_before) {
        const double late = out_.odds.late();
        if (late <= late_before) return;
        const auto& waits = service_->waits;
        std::vector<double> here;
        double total = 0;
        for (const transit::Wait& wait : waits) {
            here.push_back(end_of(service_->legs.at(wait.leg).stretch) == place ? wait.share : 0);
            total += here.back();
        }
        for (std::size_t i = 0; i < waits.size(); ++i) {
            const double where = total > 0 ? here[i] / total : waits[i].share;
            out_.wait_shares[i] = (late_before * out_.wait_shares[i] + (late - late_before) * where) / late;
        }
    }

    void note(UnknownHazard unknown) {
        const bool said = std::any_of(out_.unknown.begin(), out_.unknown.end(),
                                      [&](const UnknownHazard& one) { return one.text == unknown.text; });
        if (!said) out_.unknown.push_back(std::move(unknown));
    }

    void note_unknown(const std::vector<Candidate>& candidates, const PlaceOutlook& at,
                      const Window& window) {
        const bool warned = std::any_of(candidates.begin(), candidates.end(), [](const Candidate& candidate) {
            return candidate.rule->kind == HazardKind::alert && candidate.found.chance > 0;
        });
        for (const Candidate& candidate : candidates) {
            if (candidate.found.too_far && !warned)
                note(warnings_not_out(at.place.name, when_of(at.place, window)));
            if (!candidate.found.unknown) continue;
            if (is_winter(candidate.rule->kind)) out_.winter_unknown = true;
            note(not_forecast(candidate.rule->kind, at.place.name, when_of(at.place, window)));
        }
    }

    /// As note_unknown, of an earlier night: what is not known of a place anyway is not said for each of its
    /// nights, and only a share of what snow and ice would do is left.
    void note_unknown_before(const std::vector<Candidate>& candidates, const PlaceOutlook& at,
                             const Window& night, double share) {
        for (const Candidate& candidate : candidates) {
            if (!candidate.found.unknown) continue;
            const HazardRule& rule = *candidate.rule;
            const double most =
                mix_hazard(base_, 1, rule.odds_factor, rule.two_day_share).late() - base_.late();
            if (is_winter(rule.kind) && share * most >= kCarriedMatters) out_.winter_unknown = true;
            UnknownHazard unknown = not_forecast(rule.kind, at.place.name, when_of(at.place, night));
            const bool said =
                std::any_of(out_.unknown.begin(), out_.unknown.end(), [&](const UnknownHazard& one) {
                    return one.what == unknown.what && one.place == unknown.place;
                });
            if (!said) out_.unknown.push_back(std::move(unknown));
        }
    }

    const HazardRules* rules_;
    const transit::Service* service_;
    LateOdds base_;
    HazardousOdds out_;
};

}  // namespace

LateOdds mix_hazard(LateOdds base, double chance, double odds_factor, double two_day_share) {
    const double late = base.late();
    if (chance <= 0 || late <= 0) return base;
    const double odds = odds_factor * late / (1 - late);
    const double late_then = std::max(late, std::min(odds / (1 + odds), kMostLate));
    const double all = (1 - chance) * late + chance * late_then;
    const double more_then = std::max(base.more_days, two_day_share * late_then);  // it makes nothing better
    const double more_days = (1 - chance) * base.more_days + chance * more_then;
    return {all - more_days, more_days};
}

HazardousOdds with_hazards(const HazardRules& rules, const transit::Service& service, LateOdds base,
                           const transit::Trip& on_time, const RoleOutlooks& outlooks) {
    Hazards hazards(rules, service, base);
    // the carrier takes over at the counter: that is where weather at the origin holds it up
    for (const auto& [role, place] :
         {std::pair(Role::hub, Role::hub), std::pair(Role::second_hub, Role::second_hub),
          std::pair(Role::origin, Role::counter), std::pair(Role::destination, Role::destination)}) {
        const PlaceOutlook* at = outlooks[static_cast<std::size_t>(place)];
        if (at == nullptr) continue;
        if (const auto window = window_of(on_time, role)) hazards.visit(role, place, *at, *window);
    }
    return hazards.take();
}

}  // namespace mildway::odds
