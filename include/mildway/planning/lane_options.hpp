// Options of many parcels to one destination: weather and trips are read, laid and drawn once for all.
#pragma once

#include "mildway/odds/sketch.hpp"
#include "mildway/planning/plan.hpp"

#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace mildway::planning {

struct LaneRequest {
    Place destination;
    Date from{};
    int days = 7;
    std::vector<const transit::Service*> services;
    std::uint32_t scenarios = 2000;
    std::uint64_t seed = 1;
    unsigned threads = 1;
    Instant now;
    std::shared_ptr<weather::SharedDraws> draws{};  ///< as in PlanRequest
};

/// What is sent, and in what it may be.
struct Parcel {
    const care::Species* species = nullptr;
    box::Contents contents;
    std::vector<const box::Packing*> packings;  ///< those without room for the animals are passed over
    std::optional<double> value_usd;
};

/// What a parcel may do on the days asked about; figures are those that make_plan gives for the same days.
struct ParcelOptions {
    std::vector<Option> options;        ///< not ranked
    std::vector<std::string> left_out;  ///< why a packing or a parcel is not taken, a sentence each
};

/// An option at first look.
struct SketchedOption {
    Date ship_date{};
    const transit::Service* service = nullptr;
    const box::Packing* packing = nullptr;
    odds::Sketch sketch;
    double cost_usd = 0;
};

class LaneOptions {
public:
    /// Borrows the workspace. Throws WeatherError when the source has nothing for a place that every trip
    /// passes.
    LaneOptions(const Workspace& workspace, const weather::ForecastSource& source,
                const LaneRequest& request);
    ~LaneOptions();
    LaneOptions(const LaneOptions&) = delete;
    LaneOptions& operator=(const LaneOptions&) = delete;
    LaneOptions(LaneOptions&&) = delete;
    LaneOptions& operator=(LaneOptions&&) = delete;

    /// Which trips a parcel, by its index, may take.
    using Wanted = std::function<bool(std::size_t parcel, const transit::Trip&, const transit::Service&)>;

    /// Which boxes on such a trip are worth an assessment.
    using Picked = std::function<bool(std::size_t parcel, const transit::Trip&, const transit::Service&,
                                      const box::Packing&)>;

    /// Options of each parcel, in order, on the trips that are wanted, in the boxes that are picked (all,
    /// without one). Boxes that are the same are worked out once, and what surrounds a trip once for all
    /// boxes on it. Both are called from several threads at once.
    [[nodiscard]] std::vector<ParcelOptions> assess(std::span<const Parcel> parcels, const Wanted& wanted,
                                                    unsigned threads, const Picked& picked = {}) const;

    /// A first look at the same options, an eighth of the work or less (odds/sketch.hpp). Those whose weather
    /// cannot be used, and boxes that no carrier takes, are left out.
    [[nodiscard]] std::vector<std::vector<SketchedOption>> sketch(std::span<const Parcel> parcels,
                                                                  const Wanted& wanted,
                                                                  const odds::SketchLimits& limits,
                                                                  unsigned threads) const;

    [[nodiscard]] const std::vector<PlaceWeather>& weather() const;
    [[nodiscard]] const std::vector<ClosedDay>& closed() const;
    [[nodiscard]] const std::vector<std::string>& not_sold() const;  ///< a sentence for each service

private:
    const Workspace* workspace_;
    PlanRequest request_;
    std::unique_ptr<const Stage> stage_;
    class Boxes;
    std::unique_ptr<Boxes> boxes_;  ///< worked out so far
};

}  // namespace mildway::planning
