#include "mildway/weekly/check.hpp"

#include "mildway/base/parallel.hpp"
#include "mildway/planning/ranking.hpp"
#include "mildway/weather/remembered.hpp"
#include "mildway/weekly/as_planned.hpp"
#include "mildway/weekly/order_parcel.hpp"
#include "mildway/weekly/standing.hpp"

#include "check_words.hpp"
#include "day_search.hpp"
#include "lanes.hpp"

#include <algorithm>
#include <iterator>

#include <fmt/format.h>

namespace mildway::weekly {

namespace {

class Check {
public:
    explicit Check(const CheckDesk& desk) : desk_(desk), search_(desk_, result_.orders) {}

    [[nodiscard]] CheckResult run() {
        std::vector<const orders::Order*> orders;
        for (const Planned& planned : desk_.planned) orders.push_back(&planned.order);
        const std::vector<Group> groups = groups_by_place(orders);
        read_together(desk_.workspace, desk_.source, orders, groups);
        Seen seen;
        add_each(groups, seen, [&](const Group& group) { return assess(group); });
        for (std::size_t i = 0; i < orders.size(); ++i) stand(i);
        add_each(search_.wanted(groups), seen, [&](const Group& group) { return search_.search(group); });
        for (std::size_t i = 0; i < orders.size(); ++i) conclude(i);
        result_.weather = each_place_once(std::move(seen));
        result_.not_searched = search_.left_out();
        return std::move(result_);
    }

private:
    using Weather = std::vector<planning::PlaceWeather>;
    using Seen = std::vector<Weather>;

    /// Groups are apart from each other; the weather that they saw is collected in their order.
    template <class Work>
    void add_each(const std::vector<Group>& groups, Seen& seen, Work work) const {
        const std::size_t first = seen.size();
        seen.resize(first + groups.size());
        parallel_for(groups.size(), desk_.request.threads,
                     [&](std::size_t g) { seen[first + g] = work(groups[g]); });
    }

    /// Notes what keeps an order from going as planned; false when there is nothing to be assessed.
    [[nodiscard]] bool may_go(std::size_t i) {
        Checked& one = result_.orders[i];
        PlanTrouble trouble = why_not_as_planned(desk_.order(i), desk_.workspace, desk_.limits);
        const Date ship_date = desk_.choice(i).ship_date;
        if (ship_date < desk_.today && what_is_gone(desk_.order(i), desk_.workspace).empty()) {
            trouble = {fmt::format("its day, {}, is past and it was not handed over", format_day(ship_date)),
                       true, true};
        }
        one.found.trouble = std::move(trouble.says);
        one.needs_move = trouble.needs_move;
        return !trouble.no_trip;
    }

    [[nodiscard]] Weather assess(const Group& all) {
        Group group;
        std::copy_if(all.begin(), all.end(), std::back_inserter(group),
                     [&](std::size_t i) { return may_go(i); });
        if (group.empty()) return {};
        std::vector<planning::Parcel> parcels;
        planning::LaneRequest request = desk_.lane_to(group);
        for (const std::size_t i : group) {
            add_services(request.services, {&desk_.workspace.services.find(desk_.choice(i).service)});
            planning::Parcel parcel = parcel_of(desk_.order(i), desk_.workspace);
            parcel.packings = {&desk_.workspace.packings.find(desk_.choice(i).packing)};
            parcels.push_back(std::move(parcel));
        }
        const auto [first, last] =
            std::minmax_element(group.begin(), group.end(), [&](std::size_t a, std::size_t b) {
                return desk_.choice(a).ship_date < desk_.choice(b).ship_date;
            });
        request.from = desk_.choice(*first).ship_date;
        const auto span = date::sys_days(desk_.choice(*last).ship_date) - date::sys_days(request.from);
        request.days = static_cast<int>(span.count()) + 1;
        const LaneOrNone opened = open_lane(desk_.workspace, desk_.source, request);
        if (!opened.lane) {
            for (const std::size_t i : group) result_.orders[i].no_weather = opened.why_not;
            return {};
        }
        const auto as_chosen = [&](std::size_t at, const transit::Trip& trip,
                                   const transit::Service& service) {
            const orders::Choice& chosen = desk_.choice(group[at]);
            return trip.ship_date == chosen.ship_date && service.id == chosen.service;
        };
        std::vector<planning::ParcelOptions> found = opened.lane->assess(parcels, as_chosen, 1);
        for (std::size_t at = 0; at < group.size(); ++at) take(group[at], std::move(found[at]), *opened.lane);
        return opened.lane->weather();
    }

    void take(std::size_t i, planning::ParcelOptions found, const planning::LaneOptions& lane) {
        Checked& into = result_.orders[i];
        for (const planning::PlaceWeather& there : lane.weather())
            into.found.weather_issued = into.found.weather_issued == Instant{}
                                            ? there.issued
                                            : std::min(into.found.weather_issued, there.issued);
        if (!found.options.empty()) {
            into.option = std::move(found.options.front());
            return;
        }
        explain_none(i, found, lane);
    }

    /// It is too late by now, the box is too small or no carrier takes it; else a place on its way has no
    /// forecast, for which the lane closes the day.
    void explain_none(std::size_t i, const planning::ParcelOptions& found,
                      const planning::LaneOptions& lane) {
        Checked& into = result_.orders[i];
        const orders::Choice& chosen = desk_.choice(i);
        into.found.trouble = why_too_late(desk_.order(i), desk_.workspace, desk_.request.now);
        if (into.found.trouble.empty() && !found.left_out.empty())
            into.found.trouble = found.left_out.front();
        into.needs_move = !into.found.trouble.empty();
        if (into.needs_move) return;
        into.no_weather = "there is no forecast";
        for (const planning::ClosedDay& closed : lane.closed()) {
            if (closed.ship_date == chosen.ship_date && closed.service->id == chosen.service)
                into.no_weather = closed.reason;
        }
    }

    /// Today's figures, and the verdict that is told.
    void stand(std::size_t i) {
        Checked& one = result_.orders[i];
        orders::Reassessment& found = one.found;
        found.made = desk_.request.now;
        found.choice_version = desk_.choice(i).version;
        if (!one.option) return;
        found.verdict = one.option->verdict;
        found.side = one.option->side;
        found.standing = standing_verdict(last_told(desk_.planned[i]).verdict, *one.option,
                                          desk_.workspace.verdicts, desk_.limits.check);
        if (!one.option->assessment.all) return;
        const odds::Figures& figures = *one.option->assessment.all;
        found.hours_outside = figures.hours_outside.value;
        found.hours_error = figures.hours_outside.error;
        found.chance_outside = figures.chance_outside.value;
        found.chance_harm = figures.chance_harm.value;
        if (const odds::LegShare* leg = planning::worst_leg(one.option->assessment))
            found.worst_leg = leg->leg;
    }

    void conclude(std::size_t i) {
        Checked& one = result_.orders[i];
        orders::Reassessment& found = one.found;
        const LastTold last = last_told(desk_.planned[i]);
        if (!search_.is_known(i)) keep_better(found, last);
        found.flagged = !found.trouble.empty() || needs_look(found.standing, desk_.choice(i).verdict) ||
                        found.better_day.has_value();
        if (found.flagged) ++result_.flagged;
        tell_changes(one, desk_.planned[i], {desk_.workspace.verdicts, desk_.limits.check, desk_.today});
    }

    /// Where nothing was looked at today, what was told stands as long as it may.
    void keep_better(orders::Reassessment& found, const LastTold& last) const {
        if (!last.better_day || *last.better_day < desk_.today || desk_.limits.is_away(*last.better_day))
            return;
        found.better_day = last.better_day;
        found.better_service = last.better_service;
        found.better_packing = last.better_packing;
        found.better_by_hours = last.better_by_hours;
    }

    CheckDesk desk_;
    CheckResult result_{std::vector<Checked>(desk_.planned.size()), {}, 0, 0};
    DaySearch search_;
};

}  // namespace

CheckResult check_orders(const planning::Workspace& workspace, const Limits& limits,
                         const weather::ForecastSource& source, std::span<const Planned> planned,
                         const CheckRequest& request) {
    if (planned.empty()) return {};
    const weather::RememberedSource remembered(source);
    const Date today = local_date(find_zone(workspace.counter.zone), request.now);
    return Check({workspace, limits, remembered, planned, request, today,
                  std::make_shared<weather::SharedDraws>()})
        .run();
}

}  // namespace mildway::weekly
