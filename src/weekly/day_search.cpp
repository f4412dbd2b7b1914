#include "day_search.hpp"

#include "mildway/planning/ranking.hpp"
#include "mildway/weekly/order_parcel.hpp"
#include "mildway/weekly/standing.hpp"

#include "check_words.hpp"
#include "first_look.hpp"

#include <algorithm>
#include <iterator>
#include <set>
#include <tuple>

namespace mildway::weekly {

namespace {

/// At most so many orders get a search for another day in one run, those with most to gain first.
constexpr std::size_t kMostSearches = 200;
/// Scenarios of that search, as a share of the check's.
constexpr std::uint32_t kSearchShare = 4;

/// Options that are worth an assessment.
using Picks = std::set<std::tuple<Date, const transit::Service*, const box::Packing*>>;

/// By a first look: the ones with the fewest hours outside, of all days, of the planned one and of the one
/// that was told last, and the one with the smallest chance of harm.
Picks promising(std::vector<planning::SketchedOption> sketched, Date planned_day, const LastTold& told) {
    constexpr std::size_t kOfAllDays = 4;
    constexpr std::size_t kOfOneDay = 2;
    std::erase_if(sketched, [](const auto& option) { return option.sketch.hopeless; });
    std::stable_sort(sketched.begin(), sketched.end(), [](const auto& a, const auto& b) {
        return a.sketch.hours_outside < b.sketch.hours_outside;
    });
    Picks picks;
    std::size_t of_planned_day = 0;
    std::size_t of_told_day = 0;
    for (std::size_t i = 0; i < sketched.size(); ++i) {
        const planning::SketchedOption& option = sketched[i];
        const bool on_told_day = option.ship_date == told.better_day;
        const bool near = (option.ship_date == planned_day && of_planned_day++ < kOfOneDay) ||
                          (on_told_day && of_told_day++ < kOfOneDay);
        const bool was_told = on_told_day && option.service->id == told.better_service &&
                              option.packing->id == told.better_packing;
        if (i < kOfAllDays || near || was_told)
            picks.insert({option.ship_date, option.service, option.packing});
    }
    const auto safest = std::min_element(sketched.begin(), sketched.end(), [](const auto& a, const auto& b) {
        return a.sketch.chance_harm < b.sketch.chance_harm;
    });
    if (safest != sketched.end()) picks.insert({safest->ship_date, safest->service, safest->packing});
    return picks;
}

/// The best of all; or of the planned day, when another box does as well there: the buyer's date holds
/// then. They are ranked.
planning::Option& best_of(std::vector<planning::Option>& others, Date planned_day, double nearly_h) {
    const double fewest_h = others.front().assessment.all->hours_outside.value;
    const auto same_day = std::find_if(others.begin(), others.end(), [&](const planning::Option& option) {
        return option.ship_date == planned_day &&
               option.assessment.all->hours_outside.value <= fewest_h + nearly_h;
    });
    return same_day == others.end() ? others.front() : *same_day;
}

/// The one that was told last; else the best of that day; nullptr when there is none any more. They are
/// ranked.
planning::Option* told_of(std::vector<planning::Option>& others, const LastTold& last) {
    planning::Option* of_day = nullptr;
    for (planning::Option& option : others) {
        if (option.ship_date != last.better_day) continue;
        if (option.service->id == last.better_service && option.packing->id == last.better_packing)
            return &option;
        if (of_day == nullptr) of_day = &option;
    }
    return of_day;
}

}  // namespace

planning::LaneRequest CheckDesk::lane_to(const Group& group) const {
    planning::LaneRequest lane;
    lane.destination = order(group.front()).place;
    lane.scenarios = request.scenarios;
    lane.seed = request.seed;
    lane.now = request.now;
    lane.draws = draws;
    return lane;
}

DaySearch::DaySearch(const CheckDesk& desk, std::vector<Checked>& checked)
    : desk_(&desk), checked_(&checked), known_(checked.size(), 0) {}

/// Whether another day could save enough to be told, or would be told whatever it saves.
bool DaySearch::may_gain(std::size_t i) const {
    const Checked& one = (*checked_)[i];
    if (one.needs_move) return what_is_gone(desk_->order(i), desk_->workspace).empty();
    if (needs_look(one.found.standing, desk_->choice(i).verdict)) return true;
    if (!one.found.hours_outside) return false;
    const bool told = last_told(desk_->planned[i]).better_day.has_value();
    return *one.found.hours_outside >=
           (told ? desk_->limits.check.not_better_below_h : desk_->limits.check.better_from_h);
}

std::vector<Group> DaySearch::wanted(const std::vector<Group>& groups) {
    std::vector<std::size_t> hopeful;
    for (std::size_t i = 0; i < desk_->planned.size(); ++i) {
        if (may_gain(i)) {
            hopeful.push_back(i);
        } else if ((*checked_)[i].found.hours_outside) {
            known_[i] = 1;  // nothing could save enough
        }
    }
    const auto to_gain = [&](std::size_t i) {
        const Checked& one = (*checked_)[i];
        return std::tuple(one.needs_move, needs_look(one.found.standing, desk_->choice(i).verdict),
                          one.found.hours_outside.value_or(0));
    };
    std::stable_sort(hopeful.begin(), hopeful.end(),
                     [&](std::size_t a, std::size_t b) { return to_gain(a) > to_gain(b); });
    if (hopeful.size() > kMostSearches) {
        left_out_ = hopeful.size() - kMostSearches;
        hopeful.resize(kMostSearches);
    }
    const std::set<std::size_t> chosen(hopeful.begin(), hopeful.end());
    std::vector<Group> cut;
    for (const Group& group : groups) {
        Group rest;
        std::copy_if(group.begin(), group.end(), std::back_inserter(rest),
                     [&](std::size_t i) { return chosen.contains(i); });
        if (!rest.empty()) cut.push_back(std::move(rest));
    }
    return cut;
}

std::vector<planning::PlaceWeather> DaySearch::search(const Group& group) {
    std::vector<planning::Parcel> parcels;
    std::vector<std::vector<const transit::Service*>> allowed;
    planning::LaneRequest request = desk_->lane_to(group);
    for (const std::size_t i : group) {
        parcels.push_back(parcel_of(desk_->order(i), desk_->workspace));
        allowed.push_back(services_of(desk_->order(i), desk_->workspace));
        add_services(request.services, allowed.back());
    }
    request.from = desk_->today;
    request.days = desk_->request.days_ahead + 1;
    request.scenarios /= kSearchShare;
    const auto lane = open_lane(desk_->workspace, desk_->source, request).lane;
    if (!lane) return {};
    const auto may = [&](std::size_t at, const transit::Trip& trip, const transit::Service& service) {
        const std::size_t i = group[at];
        return !desk_->limits.is_away(trip.ship_date) &&
               std::find(allowed[at].begin(), allowed[at].end(), &service) != allowed[at].end() &&
               why_not_arriving(desk_->order(i), trip.delivery_date).empty();
    };
    const auto limits = first_look_limits(desk_->workspace.verdicts, desk_->limits.worst_verdict);
    std::vector<Picks> picks;
    for (std::size_t at = 0; auto& sketched : lane->sketch(parcels, may, limits, 1)) {
        const std::size_t i = group[at++];
        picks.push_back(
            promising(std::move(sketched), desk_->choice(i).ship_date, last_told(desk_->planned[i])));
    }
    std::vector<planning::ParcelOptions> found =
        lane->assess(parcels, may, 1,
                     [&](std::size_t at, const transit::Trip& trip, const transit::Service& service,
                         const box::Packing& packing) {
                         return picks[at].contains({trip.ship_date, &service, &packing});
                     });
    for (std::size_t at = 0; at < group.size(); ++at) {
        known_[group[at]] = 1;
        compare(group[at], std::move(found[at].options));
    }
    return lane->weather();
}

/// Whether this is worth telling; more is asked of a day that was not told before, so that none flaps.
bool DaySearch::is_better(std::size_t i, const planning::Option& option) const {
    const Checked& one = (*checked_)[i];
    const orders::Choice& choice = desk_->choice(i);
    const CheckRules& rules = desk_->limits.check;
    const bool as_planned = option.ship_date == choice.ship_date && option.service->id == choice.service &&
                            option.packing->id == choice.packing;
    if (as_planned || option.verdict > desk_->limits.worst_verdict) return false;
    if (one.needs_move || !one.found.hours_outside) return true;
    const bool told = option.ship_date == last_told(desk_->planned[i]).better_day;
    const Verdict verdict = told ? option.verdict : settled_verdict(option, desk_->workspace.verdicts, rules);
    if (verdict > desk_->limits.worst_verdict || verdict > one.found.standing) return false;
    if (needs_look(one.found.standing, choice.verdict) && verdict < one.found.standing) return true;
    const auto saved = saved_hours(*one.option, option);
    return saved && is_clearly_better(told, *saved, rules);
}

/// Whether it is so much better than the one told before that the breeder has to hear of it.
bool DaySearch::outdoes(const planning::Option& best, const planning::Option& told) const {
    const CheckRules& rules = desk_->limits.check;
    const auto saved = saved_hours(told, best);
    return (saved && is_clearly_better(false, *saved, rules)) ||
           settled_verdict(best, desk_->workspace.verdicts, rules) < told.verdict;
}

void DaySearch::compare(std::size_t i, std::vector<planning::Option> others) {
    std::erase_if(others, [&](const planning::Option& option) { return !is_better(i, option); });
    if (others.empty()) return;
    planning::rank(others);
    planning::Option* best =
        &best_of(others, desk_->choice(i).ship_date, desk_->limits.check.not_better_below_h);
    planning::Option* const told = told_of(others, last_told(desk_->planned[i]));
    if (told != nullptr && !outdoes(*best, *told)) best = told;
    Checked& one = (*checked_)[i];
    if (!one.needs_move && one.option) {
        const auto saved = saved_hours(*one.option, *best);
        one.found.better_by_hours = saved ? std::max(0.0, saved->value) : 0;
    }
    one.found.better_day = best->ship_date;
    one.found.better_service = best->service->id;
    one.found.better_packing = best->packing->id;
    one.better = std::move(*best);
}

}  // namespace mildway::weekly
