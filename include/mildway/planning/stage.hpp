// What has to be known before any option can be judged.
#pragma once

#include "mildway/box/network.hpp"
#include "mildway/odds/assess.hpp"
#include "mildway/odds/world.hpp"
#include "mildway/planning/workspace.hpp"
#include "mildway/weather/source.hpp"

#include <array>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace mildway::planning {

/// What decides the order of options: predicted hours outside the safe band; or, only when asked for, what a
/// shipment costs with the expected loss of animals, within each verdict.
enum class RankBy { hours_outside, cost_and_loss };

/// What is to be planned.
struct PlanRequest {
    Place destination;
    const care::Species* species = nullptr;
    box::Contents contents;
    Date from{};
    int days = 7;
    std::vector<const transit::Service*> services;
    std::vector<const box::Packing*> packings;
    std::uint32_t scenarios = 2000;  ///< on time, rounded up to whole rounds; late ones: assess.hpp
    std::uint64_t seed = 1;
    unsigned threads = 1;
    Instant now;
    std::optional<double> value_usd;  ///< of all animals in the parcel; for the expected loss
    RankBy rank_by = RankBy::hours_outside;
    /// Carapace of each animal where it was measured, for the rules of law; may be empty.
    std::vector<std::optional<double>> shell_mm{};
    /// Why the buyer cannot take a parcel in on a day, in brief; empty text when they can. May be empty
    /// itself.
    std::function<std::string(Date)> why_not_arriving{};
    /// Of requests from the same origin on the same days, so that what they have in common is drawn once;
    /// the draws are the same without. May be none.
    std::shared_ptr<weather::SharedDraws> draws{};
};

/// A date on which a service cannot be used, and why.
struct ClosedDay {
    Date ship_date{};
    const transit::Service* service = nullptr;
    std::string reason;
    std::string brief;  ///< as transit::NoTrip
};

/// What the plan knows of the weather at one place.
struct PlaceWeather {
    std::string place;
    std::string zone;
    std::string source;
    std::string origin;
    weather::Basis basis = weather::Basis::forecast;
    Instant issued;
    Instant known_until;
    std::string doubt;  ///< why it cannot be used; empty when it can
    std::vector<std::string> findings;
    std::optional<Instant> fetched;       ///< empty for a file
    std::optional<Instant> climate_from;  ///< later hours rest on the climate
    std::vector<weather::Voice> voices;   ///< the sources that were pooled; empty for one
    std::vector<weather::Alert> alerts;
    std::vector<std::string> attributions;
};

/// The outlook at each role of a lane; nullptr for hubs that it does not pass.
using LaneOutlooks = odds::RoleOutlooks;

/// The outlook at one place, with the climate behind it as far as `days` local days ahead. Throws
/// WeatherError.
[[nodiscard]] weather::Outlook outlook_with_climate(const weather::ForecastSource& source, const Place& place,
                                                    Instant now, int days);

/// Everything the options of one request share, read and drawn once: the lanes, the forecasts and their
/// doubts, the trips of each day and service, the sampled weather and handling. make_plan assesses every trip
/// on it; a trace follows one. Services that were not asked about are laid, too, so that a plan can tell what
/// they would change; whether they are does not change the luck of the others.
class Stage {
public:
    Stage(const Workspace& workspace, const weather::ForecastSource& source, PlanRequest request);
    Stage(const Stage&) = delete;
    Stage(Stage&&) = delete;
    Stage& operator=(const Stage&) = delete;
    Stage& operator=(Stage&&) = delete;
    ~Stage() = default;

    struct Trip {
        const transit::Service* service = nullptr;
        std::size_t route = 0;  ///< one for each service
        odds::TripCases cases;
        odds::HazardousOdds lateness;  ///< the odds in `cases` and the weather that made them so
        /// What the weather of the trip rests on, late arrivals included: climate as soon as one place has no
        /// more than that for a part of it.
        weather::Basis basis = weather::Basis::forecast;
    };

    /// Of the places that the services asked about pass.
    [[nodiscard]] const std::vector<PlaceWeather>& weather() const { return weather_; }
    [[nodiscard]] const std::vector<ClosedDay>& closed() const { return closed_; }
    /// A sentence for each service asked about that is not sold to the destination.
    [[nodiscard]] const std::vector<std::string>& not_sold() const { return not_sold_; }
    [[nodiscard]] const std::vector<Trip>& trips() const { return trips_; }
    /// Of services that were not asked about.
    [[nodiscard]] const std::vector<Trip>& other_trips() const { return other_trips_; }
    [[nodiscard]] const transit::Route& route(const Trip& trip) const { return routes_[trip.route].route; }
    /// Borrows from the stage.
    [[nodiscard]] odds::World world(const Trip& trip) const;
    [[nodiscard]] LaneOutlooks outlooks(const Trip& trip) const { return outlooks(routes_[trip.route]); }
    /// Mean of the lane's places over the week from now on, degC, hours that no outlook knows left out; 15
    /// when none is known. The same whatever days and services are asked about. For odds::BoxModel.
    [[nodiscard]] double typical_outside_c() const;
    /// The first doubt about the weather of any place that the trip passes; empty when all can be used.
    [[nodiscard]] std::string doubt(const Trip& trip) const;

private:
    /// A service on its lane, and where the outlooks of its places are.
    struct RouteOfPlan {
        transit::Route route;
        bool asked = true;
        std::array<std::size_t, transit::kRoleCount> place_of_role{};  ///< kNowhere for roles it has not
        std::string no_weather;  ///< why one of its places has no outlook; empty when all have
    };
    static constexpr std::size_t kNowhere = static_cast<std::size_t>(-1);

    void lay_routes();
    void read_weather(const weather::ForecastSource& source);
    void drop_trips_without_weather();
    void summarise_weather();
    [[nodiscard]] LaneOutlooks outlooks(const RouteOfPlan& route) const;
    /// Both lists of trips.
    template <class Each>
    void for_all_trips(Each each);
    void add_climate(const weather::ForecastSource& source);
    void weigh_hazards();
    void find_basis();
    void lay_trips();
    /// From now to the latest end of any trip: where memories of air and sun begin must not depend on what is
    /// asked about.
    [[nodiscard]] odds::TimeSpan span_of_plan() const;
    /// Places before the destination.
    [[nodiscard]] std::size_t common_places() const;
    void sample_weather();
    void prepare_surroundings();

    const Workspace* workspace_;
    PlanRequest request_;
    std::vector<RouteOfPlan> routes_;
    std::vector<weather::PlaceOutlook> outlooks_;
    std::vector<std::string> doubts_;  ///< [outlook], empty when it can be used
    std::vector<PlaceWeather> weather_;
    std::vector<Trip> trips_;
    std::vector<Trip> other_trips_;
    std::vector<ClosedDay> closed_;
    std::vector<std::string> not_sold_;
    std::unique_ptr<odds::Handling> handling_;
    std::unique_ptr<weather::SampledWeather> sampled_;
    std::unique_ptr<odds::Surroundings> surroundings_;
};

}  // namespace mildway::planning
