#include "day_search.hpp"

#include "mildway/planning/ranking.hpp"
#include "mildway/weekly/order_parcel.hpp"
#include "mildway/weekly/standing.hpp"

#include "check_words.hpp"
#include "first_look.hpp"

#include <algorithm>
#include <iterator>
#include <limits>
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

/// By a first look: the ones with the fewest hours outside, of all days and of the planned one, and the one
/// with the smallest chance of harm.
Picks promising(std::vector<planning::SketchedOption> sketched, Date planned_day) {
    constexpr std::size_t kOfAllDays = 4;
    constexpr std::size_t kOfPlannedDay = 2;
    std::erase_if(sketched, [](const auto& option) { return option.sketch.hopeless; });
    std::stable_sort(sketched.begin(), sketched.end(), [](const auto& a, const auto& b) {
        return a.sketch.hours_outside < b.sketch.hours_outside;
    });
    Picks picks;
    std::size_t of_planned_day = 0;
    for (std::size_t i = 0; i < sketched.size(); ++i) {
        const planning::SketchedOption& option = sketched[i];
        const bool near = option.ship_date == planned_day && of_planned_day++ < kOfPlannedDay;
        if (i < kOfAllDays || near) picks.insert({option.ship_date, option.service, option.packing});
    }
    const auto safest = std::min_element(sketched.begin(), sketched.end(), [](const auto& a, const auto& b) {
        return a.sketch.chance_harm < b.sketch.chance_harm;
    });
    if (safest != sketched.end()) picks.insert({safest->ship_date, safest->service, safest->packing});
    return picks;
}

/// The best of all; or of the planned day, when another box does as well there: the buyer's date holds
/// then.
planning::Option& best_of(std::vector<planning::Option>& others, Date planned_day, double nearly_h) {
    planning::rank(others);
    const double fewest_h = others.front().assessment.all->hours_outside.value;
    const auto same_day = std::find_if(others.begin(), others.end(), [&](const planning::Option& option) {
        return option.ship_date == planned_day &&
               option.assessment.all->hours_outside.value <= fewest_h + nearly_h;
    });
    return same_day == others.end() ? others.front() : *same_day;
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

/// Whether another day could save enough to be told.
bool DaySearch::may_gain(std::size_t i) const {
    const Checked& one = (*checked_)[i];
    if (!one.trouble.empty()) return what_is_gone(desk_->order(i), desk_->workspace).empty();
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
        return (*checked_)[i].trouble.empty() ? (*checked_)[i].found.hours_outside.value_or(0)
                                              : std::numeric_limits<double>::infinity();
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
    for (std::size_t at = 0; auto& sketched : lane->sketch(parcels, may, limits, 1))
        picks.push_back(promising(std::move(sketched), desk_->choice(group[at++]).ship_date));
    std::vector<planning::ParcelOptions> found =
        lane->assess(parcels, may, 1,
                     [&](std::size_t at, const transit::Trip& trip, const transit::Service& service,
                         const box::Packing& packing) {
                         return picks[at].contains({trip.ship_date, &service, &packing});
                     });
    for (std::size_t at = 0; at < group.size(); ++at) {
        known_[group[at]] = 1;
        std::erase_if(found[at].options, [&](const planning::Option& option) {
            return option.verdict > desk_->limits.worst_verdict;
        });
        if (!found[at].options.empty()) compare(group[at], std::move(found[at].options));
    }
    return lane->weather();
}

void DaySearch::compare(std::size_t i, std::vector<planning::Option> others) {
    Checked& one = (*checked_)[i];
    planning::Option& best =
        best_of(others, desk_->choice(i).ship_date, desk_->limits.check.not_better_below_h);
    if (one.option) {  // else it must be moved in any case
        const bool told = last_told(desk_->planned[i]).better_day.has_value();
        const auto saved = saved_hours(*one.option, best);
        if (!saved || best.verdict > one.found.verdict ||
            !is_clearly_better(told, *saved, desk_->limits.check))
            return;
        one.found.better_by_hours = saved->value;
    }
    one.found.better_day = best.ship_date;
    one.better = std::move(best);
}

}  // namespace mildway::weekly
