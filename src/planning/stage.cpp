#include "mildway/planning/stage.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/weather/judging.hpp"
#include "mildway/weather/pooling.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
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

PlaceWeather summarise(const weather::PlaceOutlook& there, const Workspace& workspace, Instant now) {
    const weather::Outlook& outlook = there.outlook;
    return {
        there.place.name,     there.place.zone,
        outlook.source,       outlook.origin,
        outlook.basis,        outlook.issued,
        known_until(outlook), weather::doubt_about(outlook, there.place, now, workspace.weather.stale_after),
        outlook.findings,     outlook.fetched,
        outlook.climate_from, outlook.voices,
        outlook.alerts,       outlook.attributions};
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

/// The latest that an arrival which has a chance can be.
Instant latest_arrival(const odds::TripCases& cases) {
    if (cases.odds.more_days > 0) return odds::latest_end(cases.two_late);
    return odds::latest_end(cases.odds.one_day > 0 ? cases.one_late : cases.on_time);
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

Stage::Stage(const Workspace& workspace, const weather::ForecastSource& source, const PlanRequest& request)
    : workspace_(&workspace), request_(request) {
    request_.scenarios = odds::whole_rounds(request.scenarios);
    lane_.places = {workspace.origin, workspace.counter, workspace.hub, request.destination};
    lay_trips();
    read_weather(source);
    add_climate(source);
    weigh_hazards();
    find_basis();
    for (const auto& there : outlooks_) weather_.push_back(summarise(there, workspace, request_.now));
    handling_ = std::make_unique<odds::Handling>(
        request_.services, workspace.settings, workspace.supplies.warmers, request_.scenarios, request_.seed);
    sample_weather();
    prepare_surroundings();
}

void Stage::read_weather(const weather::ForecastSource& source) {
    std::vector<Place> places;
    for (std::size_t role = 0; role < transit::kRoleCount; ++role) {
        const Place& place = lane_.places[role];
        const auto same = std::find_if(places.begin(), places.end(), [&](const Place& known) {
            return distance_km(known, place) < kSamePlaceKm;
        });
        place_of_role_[role] = static_cast<std::size_t>(same - places.begin());
        if (same == places.end()) places.push_back(place);
    }
    std::vector<weather::Reading> readings = source.read(places);
    for (std::size_t i = 0; i < places.size(); ++i) {
        if (!readings[i].outlook) throw WeatherError(readings[i].reason);
        outlooks_.push_back({places[i], std::move(*readings[i].outlook)});
    }
}

void Stage::add_climate(const weather::ForecastSource& source) {
    if (trips_.empty()) return;
    Instant to = trips_.front().cases.on_time.packed;
    for (const Trip& trip : trips_) {
        // hazards, which are weighed later, may make two days' lateness out of none
        const bool may_be_late = trip.cases.odds.on_time() < 1;
        to =
            std::max(to, odds::latest_end(may_be_late ? trip.cases.two_late : trip.cases.on_time) + hours(1));
    }
    std::vector<weather::PlaceOutlook*> all;
    for (auto& there : outlooks_) all.push_back(&there);
    extend_short_ones(source, all, to);
}

void Stage::weigh_hazards() {
    const LaneOutlooks outlooks = outlooks_of_lane();
    for (Trip& trip : trips_) {
        trip.lateness =
            odds::with_hazards(workspace_->hazards, trip.cases.odds, trip.cases.on_time, outlooks);
        trip.cases.odds = trip.lateness.odds;
    }
}

void Stage::find_basis() {
    for (Trip& trip : trips_) {
        trip.basis = outlooks_.front().outlook.basis;
        const Instant end = latest_arrival(trip.cases);
        for (const auto& there : outlooks_) {
            const auto& outlook = there.outlook;
            const bool climate = outlook.basis == weather::Basis::climate ||
                                 (outlook.climate_from && end >= *outlook.climate_from);
            if (climate) trip.basis = weather::Basis::climate;
        }
    }
}

void Stage::lay_trips() {
    for (int day = 0; day < request_.days; ++day) {
        const Date ship_date{date::sys_days(request_.from) + date::days(day)};
        for (const transit::Service* service : request_.services) {
            const auto lay = [&](int late) {
                return transit::lay_trip(*service, workspace_->settings, lane_, ship_date, late, request_.now,
                                         workspace_->hand_over);
            };
            auto on_time = lay(0);
            if (const auto* none = std::get_if<transit::NoTrip>(&on_time)) {
                closed_.push_back({ship_date, service, none->reason});
                continue;
            }
            trips_.push_back({service,
                              {std::get<transit::Trip>(std::move(on_time)), std::get<transit::Trip>(lay(1)),
                               std::get<transit::Trip>(lay(2)), transit::late_odds(*service, ship_date)},
                              {},
                              {}});
        }
    }
}

odds::TimeSpan Stage::span_of_plan() const {
    odds::TimeSpan span{request_.now, request_.now};
    for (const Trip& trip : trips_) {
        span.from = std::min(span.from, trip.cases.on_time.packed);
        span.until = std::max(span.until, odds::latest_end(trip.cases.two_late) + hours(1));
    }
    return span;
}

void Stage::sample_weather() {
    if (trips_.empty()) return;
    const odds::TimeSpan span = span_of_plan();
    Instant known_until = span.from;
    for (const auto& there : outlooks_) known_until = std::max(known_until, there.outlook.end());
    const Instant to = std::max(span.from + hours(2), std::min(span.until, known_until));
    sampled_ = std::make_unique<weather::SampledWeather>(
        outlooks_, span.from, to,
        weather::SamplingOptions{request_.scenarios, request_.seed, request_.threads});
}

void Stage::prepare_surroundings() {
    if (trips_.empty()) return;
    std::vector<odds::Surroundings::Meeting> meetings;
    for (const Trip& trip : trips_) {
        for (const transit::Leg& leg : trip.cases.on_time.legs) {
            for (const transit::Role role : {leg.from, leg.to})
                meetings.push_back({leg.setting, place_of_role_[static_cast<std::size_t>(role)]});
        }
    }
    surroundings_ = std::make_unique<odds::Surroundings>(outlooks_, *sampled_, workspace_->settings, meetings,
                                                         span_of_plan(), request_.threads);
}

odds::World Stage::world() const {
    return {outlooks_,
            place_of_role_,
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

LaneOutlooks Stage::outlooks_of_lane() const {
    LaneOutlooks outlooks{};
    for (std::size_t role = 0; role < transit::kRoleCount; ++role)
        outlooks[role] = &outlooks_[place_of_role_[role]];
    return outlooks;
}

std::string Stage::doubt() const {
    for (const auto& there : weather_) {
        if (!there.doubt.empty()) return there.doubt;
    }
    return "";
}

}  // namespace mildway::planning
