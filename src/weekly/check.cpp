#include "mildway/weekly/check.hpp"

#include "mildway/base/parallel.hpp"
#include "mildway/planning/ranking.hpp"
#include "mildway/weather/remembered.hpp"
#include "mildway/weekly/order_parcel.hpp"
#include "mildway/weekly/standing.hpp"

#include "check_words.hpp"

#include <algorithm>
#include <limits>
#include <map>
#include <set>
#include <tuple>

#include <fmt/format.h>

namespace mildway::weekly {

namespace {

/// At most so many orders get a search for another day in one run, those with most to gain first.
constexpr std::size_t kMostSearches = 200;
/// Scenarios of that search, as a share of the check's.
constexpr std::uint32_t kSearchShare = 4;

/// Orders that go to one place.
using Group = std::vector<std::size_t>;

std::vector<Group> groups_of(std::span<const Planned> planned) {
    std::map<std::string, Group> by_place;
    for (std::size_t i = 0; i < planned.size(); ++i) by_place[place_key(planned[i].order)].push_back(i);
    std::vector<Group> groups;
    for (auto& [key, group] : by_place) groups.push_back(std::move(group));
    return groups;
}

template <class Table>
auto find_or_null(const Table& table, const std::string& id) -> decltype(&table.find(id)) {
    const auto& all = table.all();
    const auto found = std::find_if(all.begin(), all.end(), [&](const auto& one) { return one.id == id; });
    return found == all.end() ? nullptr : &*found;
}

/// Options that are worth an assessment.
using Picks = std::set<std::tuple<Date, const transit::Service*, const box::Packing*>>;

/// By a first look: the ones with the fewest hours outside, of all days and of the planned one, and the one
/// with the smallest chance of harm.
Picks promising(std::vector<planning::SketchedOption> sketched, Date planned_day) {
    constexpr std::size_t kOfAllDays = 4;
    constexpr std::size_t kOfPlannedDay = 2;
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

class Check {
public:
    Check(const planning::Workspace& workspace, const Limits& limits, const weather::ForecastSource& source,
          std::span<const Planned> planned, const CheckRequest& request)
        : workspace_(&workspace),
          limits_(&limits),
          rules_(&limits.check),
          source_(source),
          planned_(planned),
          request_(&request),
          today_(local_date(find_zone(workspace.counter.zone), request.now)) {}

    [[nodiscard]] CheckResult run() {
        result_.orders.resize(planned_.size());
        looked_.assign(planned_.size(), 0);
        const std::vector<Group> groups = groups_of(planned_);
        read_weather(groups);
        for_each_group(groups, [&](const Group& group) { return assess(group); });
        for (std::size_t i = 0; i < planned_.size(); ++i) stand(i);
        for_each_group(searched(groups), [&](const Group& group) { return search(group); });
        for (std::size_t i = 0; i < planned_.size(); ++i) conclude(i);
        return std::move(result_);
    }

private:
    using Weather = std::vector<planning::PlaceWeather>;

    [[nodiscard]] const orders::Order& order(std::size_t i) const { return planned_[i].order; }
    [[nodiscard]] const orders::Choice& choice(std::size_t i) const { return *planned_[i].order.choice; }
    [[nodiscard]] Checked& checked(std::size_t i) { return result_.orders[i]; }

    /// All places at once, so that they are asked side by side.
    void read_weather(const std::vector<Group>& groups) {
        std::vector<Place> places{workspace_->origin, workspace_->counter};
        for (const transit::Service& service : workspace_->services.all())
            places.insert(places.end(), service.hubs.begin(), service.hubs.end());
        for (const Group& group : groups) places.push_back(order(group.front()).place);
        (void)source_.read(places);
    }

    /// Groups are apart from each other; the weather that they saw is collected in their order.
    template <class Work>
    void for_each_group(const std::vector<Group>& groups, Work work) {
        std::vector<Weather> seen(groups.size());
        parallel_for(groups.size(), request_->threads, [&](std::size_t g) { seen[g] = work(groups[g]); });
        for (Weather& weather : seen) {
            for (planning::PlaceWeather& there : weather) {
                if (told_places_.insert(there.place).second) result_.weather.push_back(std::move(there));
            }
        }
    }

    /// The lane of a group over some days, or why there is no weather for it.
    [[nodiscard]] std::variant<std::unique_ptr<planning::LaneOptions>, std::string> lane(
        const Group& group, Date from, int days, std::vector<const transit::Service*> services,
        std::uint32_t scenarios) const {
        planning::LaneRequest request;
        request.destination = order(group.front()).place;
        request.from = from;
        request.days = days;
        request.services = std::move(services);
        request.scenarios = scenarios;
        request.seed = request_->seed;
        request.now = request_->now;
        try {
            return std::make_unique<planning::LaneOptions>(*workspace_, source_, request);
        } catch (const WeatherError& error) {
            return error.what();
        }
    }

    /// Why an order cannot be assessed at all; empty when it can.
    [[nodiscard]] std::string trouble(std::size_t i) const {
        const orders::Choice& chosen = choice(i);
        if (chosen.ship_date < today_)
            return fmt::format("its day, {}, is past and it was not handed over",
                               format_day(chosen.ship_date));
        if (find_or_null(workspace_->packings, chosen.packing) == nullptr)
            return fmt::format("packings.json has no '{}' any more", chosen.packing);
        if (find_or_null(workspace_->services, chosen.service) == nullptr)
            return fmt::format("services.json has no '{}' any more", chosen.service);
        return "";
    }

    [[nodiscard]] Weather assess(const Group& all) {
        Group group;
        for (const std::size_t i : all) {
            checked(i).trouble = trouble(i);
            if (checked(i).trouble.empty()) group.push_back(i);
        }
        if (group.empty()) return {};
        std::set<Date> days;
        std::vector<const transit::Service*> services;
        std::vector<planning::Parcel> parcels;
        for (const std::size_t i : group) {
            days.insert(choice(i).ship_date);
            const transit::Service* service = &workspace_->services.find(choice(i).service);
            if (std::find(services.begin(), services.end(), service) == services.end())
                services.push_back(service);
            planning::Parcel parcel = parcel_of(order(i), *workspace_);
            parcel.packings = {&workspace_->packings.find(choice(i).packing)};
            parcels.push_back(std::move(parcel));
        }
        const auto span = (date::sys_days(*days.rbegin()) - date::sys_days(*days.begin())).count();
        auto made = lane(group, *days.begin(), static_cast<int>(span) + 1, services, request_->scenarios);
        if (const auto* why = std::get_if<std::string>(&made)) {
            for (const std::size_t i : group) {
                checked(i).trouble = *why;
                checked(i).no_weather = true;
            }
            return {};
        }
        const planning::LaneOptions& options = *std::get<0>(made);
        const auto as_chosen = [&](std::size_t at, const transit::Trip& trip,
                                   const transit::Service& service) {
            const orders::Choice& chosen = choice(group[at]);
            return trip.ship_date == chosen.ship_date && service.id == chosen.service;
        };
        std::vector<planning::ParcelOptions> found = options.assess(parcels, as_chosen, 1);
        for (std::size_t at = 0; at < group.size(); ++at) take(group[at], std::move(found[at]), options);
        return options.weather();
    }

    void take(std::size_t i, planning::ParcelOptions found, const planning::LaneOptions& lane) {
        Checked& into = checked(i);
        for (const planning::PlaceWeather& there : lane.weather())
            into.found.weather_issued = into.found.weather_issued == Instant{}
                                            ? there.issued
                                            : std::min(into.found.weather_issued, there.issued);
        if (!found.options.empty()) {
            into.option = std::move(found.options.front());
            return;
        }
        if (!found.left_out.empty()) {
            into.trouble = found.left_out.front();
            return;
        }
        for (const planning::ClosedDay& closed : lane.closed()) {
            if (closed.ship_date == choice(i).ship_date && closed.service->id == choice(i).service)
                into.trouble = closed.reason;
        }
        if (into.trouble.empty() && !lane.not_sold().empty()) into.trouble = lane.not_sold().front();
    }

    /// Today's figures, and the verdict that is told.
    void stand(std::size_t i) {
        Checked& one = checked(i);
        orders::Reassessment& found = one.found;
        found.made = request_->now;
        found.choice_version = choice(i).version;
        if (!one.option) return;
        found.verdict = one.option->verdict;
        found.side = one.option->side;
        found.standing =
            standing_verdict(last_told(planned_[i]).verdict, *one.option, workspace_->verdicts, *rules_);
        if (!one.option->assessment.all) return;
        const odds::Figures& figures = *one.option->assessment.all;
        found.hours_outside = figures.hours_outside.value;
        found.hours_error = figures.hours_outside.error;
        found.chance_outside = figures.chance_outside.value;
        found.chance_harm = figures.chance_harm.value;
        if (const odds::LegShare* leg = planning::worst_leg(one.option->assessment))
            found.worst_leg = leg->leg;
    }

    /// Whether another day could save enough to be told.
    [[nodiscard]] bool may_gain(std::size_t i) const {
        const Checked& one = result_.orders[i];
        if (!one.trouble.empty()) return true;
        if (!one.found.hours_outside) return false;
        const bool told = last_told(planned_[i]).better_day.has_value();
        return *one.found.hours_outside >= (told ? rules_->not_better_below_h : rules_->better_from_h);
    }

    /// The groups cut down to orders that another day is looked for.
    [[nodiscard]] std::vector<Group> searched(const std::vector<Group>& groups) {
        std::vector<std::size_t> wanted;
        for (std::size_t i = 0; i < planned_.size(); ++i) {
            if (may_gain(i)) {
                wanted.push_back(i);
            } else if (checked(i).found.hours_outside) {
                looked_[i] = 1;  // nothing could save enough
            }
        }
        const auto to_gain = [&](std::size_t i) {
            return checked(i).trouble.empty() ? checked(i).found.hours_outside.value_or(0)
                                              : std::numeric_limits<double>::infinity();
        };
        std::stable_sort(wanted.begin(), wanted.end(),
                         [&](std::size_t a, std::size_t b) { return to_gain(a) > to_gain(b); });
        if (wanted.size() > kMostSearches) {
            result_.not_searched = wanted.size() - kMostSearches;
            wanted.resize(kMostSearches);
        }
        const std::set<std::size_t> chosen(wanted.begin(), wanted.end());
        std::vector<Group> cut;
        for (const Group& group : groups) {
            Group rest;
            std::copy_if(group.begin(), group.end(), std::back_inserter(rest),
                         [&](std::size_t i) { return chosen.contains(i); });
            if (!rest.empty()) cut.push_back(std::move(rest));
        }
        return cut;
    }

    [[nodiscard]] Weather search(const Group& group) {
        std::vector<planning::Parcel> parcels;
        std::vector<std::vector<const transit::Service*>> allowed;
        std::vector<const transit::Service*> services;
        for (const std::size_t i : group) {
            parcels.push_back(parcel_of(order(i), *workspace_));
            allowed.push_back(services_of(order(i), *workspace_));
            for (const transit::Service* service : allowed.back()) {
                if (std::find(services.begin(), services.end(), service) == services.end())
                    services.push_back(service);
            }
        }
        auto made =
            lane(group, today_, request_->days_ahead + 1, services, request_->scenarios / kSearchShare);
        if (std::holds_alternative<std::string>(made)) return {};
        const auto may = [&](std::size_t at, const transit::Trip& trip, const transit::Service& service) {
            const std::size_t i = group[at];
            return !limits_->is_away(trip.ship_date) &&
                   std::find(allowed[at].begin(), allowed[at].end(), &service) != allowed[at].end() &&
                   why_not_arriving(order(i), trip.delivery_date).empty();
        };
        const planning::LaneOptions& options = *std::get<0>(made);
        std::vector<Picks> picks;
        for (std::size_t at = 0; auto& sketched : options.sketch(parcels, may, 1))
            picks.push_back(promising(std::move(sketched), choice(group[at++]).ship_date));
        std::vector<planning::ParcelOptions> found =
            options.assess(parcels, may, 1,
                           [&](std::size_t at, const transit::Trip& trip, const transit::Service& service,
                               const box::Packing& packing) {
                               return picks[at].contains({trip.ship_date, &service, &packing});
                           });
        for (std::size_t at = 0; at < group.size(); ++at) {
            looked_[group[at]] = 1;
            std::erase_if(found[at].options, [&](const planning::Option& option) {
                return option.verdict > limits_->worst_verdict;
            });
            if (!found[at].options.empty()) compare(group[at], std::move(found[at].options));
        }
        return options.weather();
    }

    /// The best of all; or of the planned day, when another box does as well there: the buyer's date holds
    /// then.
    [[nodiscard]] planning::Option& best_of(std::vector<planning::Option>& others, Date planned_day) const {
        planning::rank(others);
        const double fewest_h = others.front().assessment.all->hours_outside.value;
        const auto same_day = std::find_if(others.begin(), others.end(), [&](const planning::Option& option) {
            return option.ship_date == planned_day &&
                   option.assessment.all->hours_outside.value <= fewest_h + rules_->not_better_below_h;
        });
        return same_day == others.end() ? others.front() : *same_day;
    }

    void compare(std::size_t i, std::vector<planning::Option> others) {
        Checked& one = checked(i);
        planning::Option& best = best_of(others, choice(i).ship_date);
        if (one.option) {  // else it must be moved in any case
            const bool told = last_told(planned_[i]).better_day.has_value();
            const auto saved = saved_hours(*one.option, best);
            if (!saved || best.verdict > one.found.verdict || !is_clearly_better(told, *saved, *rules_))
                return;
            one.found.better_by_hours = saved->value;
        }
        one.found.better_day = best.ship_date;
        one.better = std::move(best);
    }

    void conclude(std::size_t i) {
        Checked& one = checked(i);
        orders::Reassessment& found = one.found;
        const LastTold last = last_told(planned_[i]);
        if (looked_[i] == 0 && last.better_day && *last.better_day >= today_)
            found.better_day = last.better_day;
        const bool worse_than_chosen =
            found.standing == Verdict::tight && choice(i).verdict == Verdict::comfortable;
        found.flagged = !one.trouble.empty() || found.standing == Verdict::unsafe ||
                        found.standing == Verdict::unknown || worse_than_chosen ||
                        found.better_day.has_value();
        if (found.flagged) ++result_.flagged;
        found.sentence = what_changed(one, choice(i), last, *rules_);
    }

    const planning::Workspace* workspace_;
    const Limits* limits_;
    const CheckRules* rules_;
    weather::RememberedSource source_;
    std::span<const Planned> planned_;
    const CheckRequest* request_;
    Date today_;
    std::set<std::string> told_places_;
    std::vector<char> looked_;  ///< whether it is known what another day would save
    CheckResult result_;
};

}  // namespace

CheckResult check_orders(const planning::Workspace& workspace, const Limits& limits,
                         const weather::ForecastSource& source, std::span<const Planned> planned,
                         const CheckRequest& request) {
    if (planned.empty()) return {};
    return Check(workspace, limits, source, planned, request).run();
}

}  // namespace mildway::weekly
