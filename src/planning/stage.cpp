#include "mildway/planning/stage.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/weather/judging.hpp"
#include "mildway/weather/pooling.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>
#include <variant>

#include <fmt/format.h>

namespace mildway::planning {

namespace {

/// Places nearer than this share one outlook, km.
constexpr double kSamePlaceKm = 0.1;

/// The last hour of the forecast itself.
Instant known_until(const weather::Outlook& outlook) {
    return outlook.climate_from ? *outlook.climate_from - hours(1) : outlook.last_known();
}

PlaceWeather summarise(const weather::PlaceOutlook& there, const std::string& doubt) {
    const weather::Outlook& outlook = there.outlook;
    return {there.place.name,     there.place.zone,     outlook.source, outlook.origin,      outlook.basis,
            outlook.issued,       known_until(outlook), doubt,          outlook.findings,    outlook.fetched,
            outlook.climate_from, outlook.voices,       outlook.alerts, outlook.attributions};
}

/// Lays the climate behind forecasts that end before `to`.
void extend_short_ones(const weather::ForecastSource& source,
                       const std::vector<weather::PlaceOutlook*>& outlooks, Instant to) {
    std::vector<Place> places;
    std::vector<weather::Outlook*> short_ones;
    Instant from = to;
    for (weather::PlaceOutlook* there : outlooks) {
        if (there->outlook.last_known() >= to) continue;
        from = std::min(from, there->outlook.first_hour);  // the forecast is held against it, too
        places.push_back(there->place);
        short_ones.push_back(&there->outlook);
    }
    if (places.empty()) return;
    std::vector<weather::Reading> readings = source.climate(places, from, to);
    for (std::size_t i = 0; i < places.size(); ++i) {
        if (readings[i].outlook) {
            weather::judge(*readings[i].outlook, places[i]);
            weather::extend_with_climate(*short_ones[i], *readings[i].outlook, places[i]);
        } else if (!readings[i].reason.empty()) {
            short_ones[i]->findings.push_back(
                fmt::format("no climate behind the forecast: {}", readings[i].reason));
        }
    }
}

/// Mean over the hours that the outlook itself knows of the coming week, degC; NaN when it knows none. Not
/// those of the climate that was laid behind it: how far that reaches depends on the days asked about.
double mean_of_coming_days_c(const weather::Outlook& outlook, Instant now) {
    const Instant from = std::max(outlook.first_hour, Instant(date::ceil<hours>(now)));
    const Instant to = std::min(now + date::days(7), known_until(outlook));
    double sum_c = 0;
    int known = 0;
    for (Instant hour = from; hour <= to; hour += hours(1)) {
        const double mean_c =
            outlook.mean_c(static_cast<std::size_t>((hour - outlook.first_hour) / hours(1)));
        if (std::isnan(mean_c)) continue;
        sum_c += mean_c;
        ++known;
    }
    return known > 0 ? sum_c / known : std::numeric_limits<double>::quiet_NaN();
}

/// Trips to different places end at different hours; what lanes draw together needs the same windows.
Instant whole_days(Instant until, const PlanRequest& request) {
    return request.draws ? Instant(date::ceil<date::days>(until)) : until;
}

}  // namespace

weather::Outlook outlook_with_climate(const weather::ForecastSource& source, const Place& place, Instant now,
                                      int days) {
    weather::PlaceOutlook there{place, source.outlook(place)};
    const auto& zone = find_zone(place.zone);
    const Date after{date::sys_days(local_date(zone, now)) + date::days(days)};
    extend_short_ones(source, {&there}, to_instant(zone, after, minutes(0)));
    return std::move(there.outlook);
}

Stage::Stage(const Workspace& workspace, const weather::ForecastSource& source, PlanRequest request)
    : workspace_(&workspace), request_(std::move(request)) {
    lay_routes();
    lay_trips();
    read_weather(source);
    drop_trips_without_weather();
    add_climate(source);
    for (const auto& there : outlooks_)
        doubts_.push_back(
            weather::doubt_about(there.outlook, there.place, request_.now, workspace.weather.stale_after));
    weigh_hazards();
    find_basis();
    summarise_weather();
    std::vector<const transit::Service*> services;
    for (const RouteOfPlan& route : routes_) services.push_back(&route.route.service());
    handling_ = std::make_unique<odds::Handling>(services, workspace.settings, workspace.supplies.warmers,
                                                 odds::whole_rounds(request_.scenarios), request_.seed);
    sample_weather();
    prepare_surroundings();
}

template <class Each>
void Stage::for_all_trips(Each each) {
    for (auto* trips : {&trips_, &other_trips_}) {
        for (Trip& trip : *trips) each(trip);
    }
}

void Stage::lay_routes() {
    for (const transit::Service& service : workspace_->services.all()) {
        const bool asked = std::find(request_.services.begin(), request_.services.end(), &service) !=
                           request_.services.end();
        transit::Route route(
            service, workspace_->settings,
            transit::lane_of(service, {workspace_->origin, workspace_->counter}, request_.destination),
            workspace_->hand_over);
        if (asked && !route.not_sold().empty()) not_sold_.push_back(route.not_sold());
        routes_.push_back({std::move(route), asked, {}, {}});
    }
}

void Stage::lay_trips() {
    for (int day = 0; day < request_.days; ++day) {
        const Date ship_date{date::sys_days(request_.from) + date::days(day)};
        for (std::size_t i = 0; i < routes_.size(); ++i) {
            const RouteOfPlan& route = routes_[i];
            if (!route.route.not_sold().empty()) continue;
            auto cases = odds::lay_cases(route.route, ship_date, request_.now);
            if (auto* laid = std::get_if<odds::TripCases>(&cases)) {
                const std::string why_not =
                    request_.why_not_arriving ? request_.why_not_arriving(laid->on_time.delivery_date) : "";
                if (!why_not.empty()) {
                    if (route.asked)
                        closed_.push_back({ship_date, &route.route.service(),
                                           fmt::format("it would arrive on {}: {}",
                                                       format_day(laid->on_time.delivery_date), why_not),
                                           "arrival would not suit: " + why_not});
                    continue;
                }
                (route.asked ? trips_ : other_trips_)
                    .push_back({&route.route.service(), i, std::move(*laid), {}, {}});
            } else if (route.asked) {
                const auto& none = std::get<transit::NoTrip>(cases);
                closed_.push_back({ship_date, &route.route.service(), none.reason, none.brief});
            }
        }
    }
}

/// The origin's, the counter's, the hubs' and the destination's, each once, in that order: what is drawn for
/// a place must not depend on which services are asked about.
void Stage::read_weather(const weather::ForecastSource& source) {
    std::vector<Place> places;
    const auto index_of = [&](const Place& place) {
        const auto same = std::find_if(places.begin(), places.end(), [&](const Place& known) {
            return distance_km(known, place) < kSamePlaceKm;
        });
        if (same != places.end()) return static_cast<std::size_t>(same - places.begin());
        places.push_back(place);
        return places.size() - 1;
    };
    for (std::size_t role = 0; role < transit::kRoleCount; ++role) {
        for (RouteOfPlan& route : routes_) {
            const bool passes = route.route.lane().has(static_cast<transit::Role>(role));
            route.place_of_role[role] =
                passes ? index_of(route.route.lane().at(static_cast<transit::Role>(role))) : kNowhere;
        }
    }
    std::vector<weather::Reading> readings = source.read(places);
    std::vector<std::size_t> outlook_of_place(places.size(), kNowhere);
    for (std::size_t i = 0; i < places.size(); ++i) {
        if (!readings[i].outlook) continue;
        outlook_of_place[i] = outlooks_.size();
        outlooks_.push_back({places[i], std::move(*readings[i].outlook)});
    }
    for (RouteOfPlan& route : routes_) {
        for (std::size_t& place : route.place_of_role) {
            if (place == kNowhere) continue;
            if (outlook_of_place[place] == kNowhere && route.no_weather.empty())
                route.no_weather = readings[place].reason;
            place = outlook_of_place[place];
        }
    }
}

/// Services past a place without a forecast are closed, as long as there is another that can be used.
void Stage::drop_trips_without_weather() {
    const auto why_not = [&](const Trip& trip) -> const std::string& {
        return routes_[trip.route].no_weather;
    };
    const auto has_none = [&](const Trip& trip) { return !why_not(trip).empty(); };
    if (!trips_.empty() && std::all_of(trips_.begin(), trips_.end(), has_none))
        throw WeatherError(why_not(trips_.back()));
    for (const Trip& trip : trips_) {
        if (!has_none(trip)) continue;
        closed_.push_back(
            {trip.cases.on_time.ship_date, trip.service, why_not(trip), "no weather for a place on the way"});
    }
    std::erase_if(trips_, has_none);
    std::erase_if(other_trips_, has_none);
}

void Stage::add_climate(const weather::ForecastSource& source) {
    if (trips_.empty()) return;
    Instant to = trips_.front().cases.on_time.packed;
    for_all_trips([&](const Trip& trip) {
        // hazards, which are weighed later, may make two days' lateness out of none
        const bool may_be_late = trip.cases.odds.on_time() < 1;
        to =
            std::max(to, (may_be_late ? odds::latest_end(trip.cases) : odds::latest_end(trip.cases.on_time)) +
                             hours(1));
    });
    to = whole_days(to, request_);
    std::vector<weather::PlaceOutlook*> all;
    for (auto& there : outlooks_) all.push_back(&there);
    extend_short_ones(source, all, to);
}

void Stage::weigh_hazards() {
    for_all_trips([&](Trip& trip) {
        trip.lateness = odds::with_hazards(workspace_->hazards, *trip.service, trip.cases.odds,
                                           trip.cases.on_time, outlooks(trip));
        trip.cases.odds = trip.lateness.odds;
        trip.cases.wait_shares = trip.lateness.wait_shares;
    });
}

void Stage::find_basis() {
    for_all_trips([&](Trip& trip) {
        trip.basis = outlooks(trip).front()->outlook.basis;
        const Instant end = odds::latest_likely_end(trip.cases);
        for (const weather::PlaceOutlook* there : outlooks(trip)) {
            if (there == nullptr) continue;
            const auto& outlook = there->outlook;
            const bool climate = outlook.basis == weather::Basis::climate ||
                                 (outlook.climate_from && end >= *outlook.climate_from);
            if (climate) trip.basis = weather::Basis::climate;
        }
    });
}

void Stage::summarise_weather() {
    for (std::size_t place = 0; place < outlooks_.size(); ++place) {
        const bool passed = std::any_of(routes_.begin(), routes_.end(), [&](const RouteOfPlan& route) {
            const auto& places = route.place_of_role;
            return route.asked && route.route.not_sold().empty() &&
                   std::find(places.begin(), places.end(), place) != places.end();
        });
        if (passed) weather_.push_back(summarise(outlooks_[place], doubts_[place]));
    }
}

odds::TimeSpan Stage::span_of_plan() const {
    odds::TimeSpan span{request_.now, request_.now};
    for (const auto* trips : {&trips_, &other_trips_}) {
        for (const Trip& trip : *trips) {
            span.from = std::min(span.from, trip.cases.on_time.packed);
            span.until = std::max(span.until, odds::latest_end(trip.cases) + hours(1));
        }
    }
    return span;
}

void Stage::sample_weather() {
    if (trips_.empty()) return;
    const odds::TimeSpan span = span_of_plan();
    Instant known_until = span.from;
    for (const auto& there : outlooks_) known_until = std::max(known_until, there.outlook.end());
    const Instant to =
        std::max(span.from + hours(2), std::min(whole_days(span.until, request_), known_until));
    sampled_ = std::make_unique<weather::SampledWeather>(
        outlooks_, span.from, to,
        weather::SamplingOptions{handling_->scenarios(), request_.seed, request_.threads},
        request_.draws.get(), common_places());
}

std::size_t Stage::common_places() const {
    for (const RouteOfPlan& route : routes_) {
        const auto destination = static_cast<std::size_t>(transit::Role::destination);
        if (route.place_of_role[destination] + 1 == outlooks_.size()) return outlooks_.size() - 1;
    }
    return outlooks_.size();
}

void Stage::prepare_surroundings() {
    if (trips_.empty()) return;
    std::vector<odds::Surroundings::Meeting> meetings;
    const auto add = [&](const Trip& trip, const transit::Trip& laid) {
        for (const transit::Leg& leg : laid.legs) {
            for (const transit::Role role : {leg.stretch.from, leg.stretch.to})
                meetings.push_back(
                    {leg.setting, routes_[trip.route].place_of_role[static_cast<std::size_t>(role)]});
        }
    };
    for_all_trips([&](const Trip& trip) {
        add(trip, trip.cases.on_time);
        for (const transit::Trip& late : trip.cases.one_late)
            add(trip, late);  // waits have settings of their own
    });
    surroundings_ = std::make_unique<odds::Surroundings>(outlooks_, *sampled_, workspace_->settings, meetings,
                                                         span_of_plan(), request_.threads);
}

odds::World Stage::world(const Trip& trip) const {
    return {outlooks_,
            routes_[trip.route].place_of_role,
            sampled_.get(),
            &workspace_->settings,
            &workspace_->supplies.warmers,
            handling_.get(),
            surroundings_.get()};
}

double Stage::typical_outside_c() const {
    constexpr double kUnknown_c = 15;
    double sum_c = 0;
    int known = 0;
    for (const auto& there : outlooks_) {
        const double mean_c = mean_of_coming_days_c(there.outlook, request_.now);
        if (std::isnan(mean_c)) continue;
        sum_c += mean_c;
        ++known;
    }
    return known > 0 ? sum_c / known : kUnknown_c;
}

LaneOutlooks Stage::outlooks(const RouteOfPlan& route) const {
    LaneOutlooks outlooks{};
    for (std::size_t role = 0; role < transit::kRoleCount; ++role) {
        if (route.place_of_role[role] != kNowhere) outlooks[role] = &outlooks_[route.place_of_role[role]];
    }
    return outlooks;
}

std::string Stage::doubt(const Trip& trip) const {
    for (const std::size_t place : routes_[trip.route].place_of_role) {
        if (place != kNowhere && !doubts_[place].empty()) return doubts_[place];
    }
    return "";
}

}  // namespace mildway::planning
