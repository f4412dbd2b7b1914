#include "mildway/planning/stage.hpp"

#include <algorithm>
#include <variant>

#include <fmt/format.h>

namespace mildway::planning {

namespace {

/// Places nearer than this share one outlook, km.
constexpr double kSamePlaceKm = 0.1;
/// A forecast issued later than now by more than this points at a wrong clock.
constexpr minutes kClockSlack{60};

/// Why an outlook must not be used; empty when it may.
std::string find_doubt(const Place& place, const weather::Outlook& outlook, const Workspace& workspace,
                       Instant now) {
    const auto& zone = find_zone(place.zone);
    if (outlook.issued > now + kClockSlack) {
        return fmt::format("the forecast for {} was issued {}, which is later than now; check the clock",
                           place.name, format_local(zone, outlook.issued));
    }
    if (now - outlook.issued > workspace.stale_after) {
        return fmt::format(
            "the forecast for {} is stale: issued {}, {:.0f} hours ago (at most {} are trusted)", place.name,
            format_local(zone, outlook.issued), in_hours(now - outlook.issued),
            workspace.stale_after.count());
    }
    return "";
}

Instant last_known(const weather::Outlook& outlook) {
    const auto& temps = outlook.temp_c.front();
    for (std::size_t hour = temps.size(); hour > 0; --hour) {
        if (temps[hour - 1] == temps[hour - 1]) return outlook.first_hour + hours(static_cast<int>(hour) - 1);
    }
    return outlook.first_hour;
}

PlaceWeather summarise(const weather::PlaceOutlook& there, const Workspace& workspace, Instant now) {
    const weather::Outlook& outlook = there.outlook;
    return {there.place.name,    there.place.zone,
            outlook.source,      outlook.origin,
            outlook.basis,       outlook.issued,
            last_known(outlook), find_doubt(there.place, outlook, workspace, now),
            outlook.findings};
}

}  // namespace

Stage::Stage(const Workspace& workspace, const weather::ForecastSource& source, const PlanRequest& request)
    : workspace_(&workspace), request_(request) {
    request_.scenarios = odds::whole_rounds(request.scenarios);
    lane_.places = {workspace.origin, workspace.counter, workspace.hub, request.destination};
    lay_trips();
    read_weather(source);
    handling_ = std::make_unique<odds::Handling>(request_.services, workspace.settings, workspace.warmers,
                                                 request_.scenarios, request_.seed);
    sample_weather();
}

void Stage::read_weather(const weather::ForecastSource& source) {
    for (std::size_t role = 0; role < transit::kRoleCount; ++role) {
        const Place& place = lane_.places[role];
        const auto same =
            std::find_if(outlooks_.begin(), outlooks_.end(), [&](const weather::PlaceOutlook& known) {
                return distance_km(known.place, place) < kSamePlaceKm;
            });
        place_of_role_[role] = static_cast<std::size_t>(same - outlooks_.begin());
        if (same != outlooks_.end()) continue;
        outlooks_.push_back({place, source.outlook(place)});
        weather_.push_back(summarise(outlooks_.back(), *workspace_, request_.now));
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
                               std::get<transit::Trip>(lay(2)), transit::late_odds(*service, ship_date)}});
        }
    }
}

void Stage::sample_weather() {
    if (trips_.empty()) return;
    Instant from = trips_.front().cases.on_time.packed;
    Instant to = from;
    for (const Trip& trip : trips_) {
        from = std::min(from, trip.cases.on_time.packed);
        to = std::max(to, odds::latest_end(trip.cases.two_late) + hours(1));
    }
    Instant known_until = from;
    for (const auto& there : outlooks_) known_until = std::max(known_until, there.outlook.end());
    to = std::max(from + hours(2), std::min(to, known_until));
    sampled_ = std::make_unique<weather::SampledWeather>(
        outlooks_, from, to, weather::SamplingOptions{request_.scenarios, request_.seed, request_.threads});
}

odds::World Stage::world() const {
    return {outlooks_,      place_of_role_, sampled_.get(), &workspace_->settings, &workspace_->warmers,
            handling_.get()};
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

weather::Basis Stage::basis() const {
    for (const auto& there : weather_) {
        if (there.basis == weather::Basis::climate) return there.basis;
    }
    return weather_.front().basis;
}

}  // namespace mildway::planning
