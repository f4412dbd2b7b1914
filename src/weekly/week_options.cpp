#include "week_options.hpp"

#include "mildway/base/parallel.hpp"
#include "mildway/planning/explain.hpp"
#include "mildway/weather/remembered.hpp"
#include "mildway/weekly/order_parcel.hpp"

#include "lanes.hpp"
#include "week_screening.hpp"
#include "week_stock.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <set>
#include <tuple>

#include <fmt/format.h>

namespace mildway::weekly {

namespace {

using planning::LaneOptions;
using planning::Option;

std::vector<Date> days_of(const WeekRequest& request) {
    std::vector<Date> days;
    for (int i = 0; i < request.days; ++i) days.emplace_back(date::sys_days(request.from) + date::days(i));
    return days;
}

/// "about 5 h too cold".
std::string about_hours_text(const odds::Sketch& sketch) {
    return fmt::format("about {:.0f} h too {}", std::max(1.0, sketch.hours_outside),
                       2 * sketch.hours_cold >= sketch.hours_outside ? "cold" : "warm");
}

/// What an option counts in the choice, then names, so that nothing is left to chance.
auto rank_of(const Option& option) {
    return std::tuple(planning::tenths_of(option.assessment.all->hours_outside.value), option.verdict,
                      std::llround(option.cost.total_usd() * 100), option.service->id, option.packing->id);
}

/// Says of one order and lane what each day offers.
class OrderDays {
public:
    OrderDays(const orders::Order& order, const planning::Workspace& workspace, const Limits& limits,
              const WeekRequest& request)
        : order_(&order),
          workspace_(&workspace),
          limits_(&limits),
          days_(days_of(request)),
          services_(services_of(order, workspace)) {
        for (const Date day : days_) {
            if (limits.is_away(day)) reasons_[day] = "you are away";
        }
    }

    /// Whether the order may go on a trip; remembers why not.
    [[nodiscard]] bool is_wanted(const transit::Trip& trip, const transit::Service& service) {
        if (std::find(services_.begin(), services_.end(), &service) == services_.end()) return false;
        if (limits_->is_away(trip.ship_date)) return false;
        const std::string why = why_not_arriving(*order_, trip.delivery_date);
        if (why.empty()) {
            wanted_.insert(trip.ship_date);
            return true;
        }
        // without the day of arrival, so that days of one reason are told together
        reasons_.try_emplace(trip.ship_date, "arrival would not suit: " + why);
        return false;
    }

    /// `assessed` on the trips that are wanted.
    [[nodiscard]] OrderWays conclude(planning::ParcelOptions assessed,
                                     const std::map<Date, planning::SketchedOption>& best_of_unsafe_days,
                                     const LaneOptions& lane, const std::vector<StockItem>& stock) {
        OrderWays made;
        keep_best(std::move(assessed.options), stock, made);
        for (const auto& [day, option] : best_of_unsafe_days) judge_unsafe(day, option.sketch);
        add_closed(lane);
        tell_unfit(made);
        std::set<std::string> told;
        for (std::string& sentence : assessed.left_out) {
            if (told.insert(sentence).second) made.left_out.push_back(std::move(sentence));
        }
        return made;
    }

    /// Of a lane without weather.
    [[nodiscard]] OrderWays without_weather(const std::string& why) {
        OrderWays made;
        for (const Date day : days_) {
            if (reasons_.try_emplace(day, "the weather is not known").second) unknown_[day] = why;
        }
        tell_unfit(made);
        return made;
    }

private:
    void keep_best(std::vector<Option> options, const std::vector<StockItem>& stock, OrderWays& made) {
        std::map<DayAndUses, Way> best;
        std::map<Date, const Option*> best_unfit;
        for (Option& option : options) {
            if (option.verdict > limits_->worst_verdict || !option.assessment.all) {
                const Option*& worst = best_unfit[option.ship_date];
                if (worst == nullptr || better_unfit(option, *worst)) worst = &option;
                continue;
            }
            std::vector<planning::StockUse> uses = uses_of(*option.packing, *workspace_, stock);
            const auto key = std::pair(option.ship_date, plain(uses));
            const auto found = best.find(key);
            if (found == best.end()) {
                fit_.insert(option.ship_date);
                best.emplace(key, Way{std::move(option), std::move(uses)});
            } else if (rank_of(option) < rank_of(found->second.option)) {
                found->second.option = std::move(option);
            }
        }
        for (auto& [key, way] : best) made.ways.push_back(std::move(way));
        for (const auto& [day, option] : best_unfit) {
            if (!fit_.contains(day)) judge_unfit(day, *option);
        }
    }

    /// Known before unknown, then fewer hours.
    static bool better_unfit(const Option& a, const Option& b) {
        if (!a.assessment.all || !b.assessment.all) return a.assessment.all.has_value() && !b.assessment.all;
        return a.assessment.all->hours_outside.value < b.assessment.all->hours_outside.value;
    }

    void judge_unfit(Date day, const Option& option) {
        if (!option.assessment.all) {
            reasons_[day] = "the weather is not known";
            unknown_[day] = option.assessment.unknown_reason;
            return;
        }
        reasons_[day] = fmt::format("{} at best", verdict_name(option.verdict));
        at_best_[day] = planning::hours_text(*option.assessment.all);
    }

    /// On a day that has nothing better.
    void judge_unsafe(Date day, const odds::Sketch& sketch) {
        const std::string reason = fmt::format("{} at best", verdict_name(Verdict::unsafe));
        if (fit_.contains(day) || at_best_.contains(day)) return;
        reasons_[day] = reason;
        unknown_.erase(day);
        at_best_[day] = about_hours_text(sketch);
    }

    /// Days on which no service that the order allows goes at all, and why not.
    void add_closed(const LaneOptions& lane) {
        for (const planning::ClosedDay& closed : lane.closed()) {
            const bool allowed =
                std::find(services_.begin(), services_.end(), closed.service) != services_.end();
            if (allowed && !wanted_.contains(closed.ship_date))
                reasons_.try_emplace(closed.ship_date, closed.brief);
        }
        const std::string otherwise =
            lane.not_sold().empty() ? "no packing or service takes the parcel" : lane.not_sold().front();
        for (const Date day : days_) {
            if (!fit_.contains(day)) reasons_.try_emplace(day, otherwise);
        }
    }

    void tell_unfit(OrderWays& made) const {
        for (const Date day : days_) {
            const auto reason = reasons_.find(day);
            if (fit_.contains(day) || reason == reasons_.end()) continue;
            const auto why = unknown_.find(day);
            const auto hours = at_best_.find(day);
            auto known = std::find_if(made.unfit.begin(), made.unfit.end(),
                                      [&](const Unfit& one) { return one.reason == reason->second; });
            if (known == made.unfit.end())
                known = made.unfit.insert(known, Unfit{reason->second, {}, {}, {}});
            known->ship_dates.push_back(day);
            if (why != unknown_.end() && known->unknown.empty()) known->unknown = why->second;
            if (hours != at_best_.end()) known->at_best.push_back(hours->second);
        }
    }

    const orders::Order* order_;
    const planning::Workspace* workspace_;
    const Limits* limits_;
    std::vector<Date> days_;
    std::vector<const transit::Service*> services_;
    std::set<Date> wanted_;
    std::set<Date> fit_;
    std::map<Date, std::string> reasons_;
    std::map<Date, std::string> unknown_;
    std::map<Date, std::string> at_best_;
};

planning::LaneRequest lane_request(const planning::Workspace& workspace,
                                   const std::vector<const orders::Order*>& orders, const Group& group,
                                   const WeekRequest& request, std::shared_ptr<weather::SharedDraws> draws) {
    planning::LaneRequest lane;
    lane.destination = orders[group.front()]->place;
    lane.from = request.from;
    lane.days = request.days;
    for (const std::size_t i : group) add_services(lane.services, services_of(*orders[i], workspace));
    lane.scenarios = request.scenarios;
    lane.seed = request.seed;
    lane.now = request.now;
    lane.draws = std::move(draws);
    return lane;
}

/// What the orders of a week have in common. Borrowed.
struct Common {
    const planning::Workspace& workspace;
    const Limits& limits;
    const std::vector<const orders::Order*>& orders;
    const std::vector<StockItem>& stock;
    const WeekRequest& request;
};

/// So many parcels at once share what is the same about them; more would hold too many options in memory.
constexpr std::size_t kParcelsAtOnce = 16;

/// Parcels after a first look and the assessment of what was worth it. Borrowed.
struct FirstLook {
    const std::vector<planning::Parcel>& parcels;
    const LaneOptions::Wanted& wanted;
    const std::vector<std::vector<planning::SketchedOption>>& sketches;
    const std::vector<Worthwhile>& worthwhile;
};

/// So that no day is called unfit for want of looking.
void look_again(const Common& common, const LaneOptions& lane, const FirstLook& first,
                std::vector<planning::ParcelOptions>& assessed) {
    std::vector<Doubtful> doubtful;
    bool any = false;
    for (std::size_t i = 0; i < assessed.size(); ++i) {
        doubtful.emplace_back(first.sketches[i], first.worthwhile[i], assessed[i], common.workspace,
                              common.stock, common.limits.worst_verdict);
        any = any || doubtful.back().any();
    }
    if (!any) return;
    auto more = lane.assess(first.parcels, first.wanted, 1,
                            [&](std::size_t parcel, const transit::Trip& trip,
                                const transit::Service& service, const box::Packing& packing) {
                                return doubtful[parcel].has({trip.ship_date, &service, &packing});
                            });
    for (std::size_t i = 0; i < assessed.size(); ++i) {
        std::move(more[i].options.begin(), more[i].options.end(), std::back_inserter(assessed[i].options));
    }
}

void on_lane(const Common& common, const LaneOptions& lane, const Group& group,
             std::vector<OrderWays>& made) {
    for (std::size_t first = 0; first < group.size(); first += kParcelsAtOnce) {
        const std::size_t end = std::min(group.size(), first + kParcelsAtOnce);
        std::vector<OrderDays> days;
        std::vector<planning::Parcel> parcels;
        for (std::size_t k = first; k < end; ++k) {
            const orders::Order& order = *common.orders[group[k]];
            days.emplace_back(order, common.workspace, common.limits, common.request);
            parcels.push_back(parcel_of(order, common.workspace));
        }
        // one thread: the answers are kept
        const LaneOptions::Wanted wanted = [&](std::size_t parcel, const transit::Trip& trip,
                                               const transit::Service& service) {
            return days[parcel].is_wanted(trip, service);
        };
        const auto sketches = lane.sketch(
            parcels, wanted, first_look_limits(common.workspace.verdicts, common.limits.worst_verdict), 1);
        std::vector<Worthwhile> worthwhile;
        for (const auto& sketched : sketches)
            worthwhile.emplace_back(sketched, common.workspace, common.stock, common.limits.worst_verdict);
        std::vector<planning::ParcelOptions> assessed =
            lane.assess(parcels, wanted, 1,
                        [&](std::size_t parcel, const transit::Trip& trip, const transit::Service& service,
                            const box::Packing& packing) {
                            return worthwhile[parcel].wants({trip.ship_date, &service, &packing});
                        });
        look_again(common, lane, {parcels, wanted, sketches, worthwhile}, assessed);
        for (std::size_t k = first; k < end; ++k) {
            made[group[k]] =
                days[k - first].conclude(std::move(assessed[k - first]),
                                         worthwhile[k - first].best_of_unsafe_days(), lane, common.stock);
        }
    }
}

}  // namespace

WeekWays ways_of(const planning::Workspace& workspace, const Limits& limits,
                 const weather::ForecastSource& source, const std::vector<const orders::Order*>& orders,
                 const std::vector<StockItem>& stock, const WeekRequest& request) {
    const std::vector<Group> groups = groups_by_place(orders);
    const weather::RememberedSource remembered(source);
    read_together(workspace, remembered, orders, groups);
    const auto draws = std::make_shared<weather::SharedDraws>();
    WeekWays made;
    made.orders.resize(orders.size());
    std::vector<std::vector<planning::PlaceWeather>> seen(groups.size());
    parallel_for(groups.size(), request.threads, [&](std::size_t g) {
        const LaneOrNone opened =
            open_lane(workspace, remembered, lane_request(workspace, orders, groups[g], request, draws));
        if (opened.lane) {
            on_lane({workspace, limits, orders, stock, request}, *opened.lane, groups[g], made.orders);
            seen[g] = opened.lane->weather();
            return;
        }
        for (const std::size_t i : groups[g])
            made.orders[i] =
                OrderDays(*orders[i], workspace, limits, request).without_weather(opened.why_not);
    });
    made.weather = each_place_once(std::move(seen));
    return made;
}

planning::Candidate candidate_of(const Way& way, const Limits& limits, Date from) {
    planning::Candidate candidate;
    const auto day = (date::sys_days(way.option.ship_date) - date::sys_days(from)).count();
    candidate.day = static_cast<std::size_t>(day);
    candidate.hours_outside = way.option.assessment.all->hours_outside.value;
    candidate.grade = static_cast<int>(way.option.verdict);
    candidate.usd = way.option.cost.total_usd() + limits.waiting_usd_per_day * static_cast<double>(day);
    candidate.uses = way.uses;
    return candidate;
}

}  // namespace mildway::weekly
