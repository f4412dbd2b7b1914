#include "mildway/planning/lane_options.hpp"

#include "mildway/base/parallel.hpp"

#include "options.hpp"

#include <algorithm>
#include <iterator>
#include <map>
#include <mutex>
#include <tuple>
#include <utility>
#include <variant>

#include <fmt/format.h>

namespace mildway::planning {

namespace {

PlanRequest plan_request(const LaneRequest& lane) {
    PlanRequest request;
    request.destination = lane.destination;
    request.from = lane.from;
    request.days = lane.days;
    request.services = lane.services;
    request.scenarios = odds::whole_rounds(lane.scenarios);
    request.seed = lane.seed;
    request.threads = lane.threads;
    request.now = lane.now;
    request.draws = lane.draws;
    return request;
}

/// A request for each parcel, with the packings that have room for its animals; the others are told.
std::vector<PlanRequest> requests_of(const PlanRequest& common, std::span<const Parcel> parcels,
                                     std::vector<ParcelOptions>& told) {
    std::vector<PlanRequest> requests;
    for (std::size_t i = 0; i < parcels.size(); ++i) {
        PlanRequest request = common;
        request.species = parcels[i].species;
        request.contents = parcels[i].contents;
        request.value_usd = parcels[i].value_usd;
        for (const box::Packing* packing : parcels[i].packings) {
            std::string why = box::why_no_room(*packing, request.contents);
            if (why.empty()) {
                request.packings.push_back(packing);
            } else {
                told[i].left_out.push_back(std::move(why));
            }
        }
        requests.push_back(std::move(request));
    }
    return requests;
}

/// [parcel], in the order of its packings.
using BoxesOfParcels = std::vector<std::vector<const odds::BoxModel*>>;

/// All parcels that may take one trip.
class OnTrip {
public:
    OnTrip(const Workspace& workspace, const Stage& stage, const Stage::Trip& trip,
           const std::vector<PlanRequest>& requests, const BoxesOfParcels& boxes)
        : workspace_(&workspace), stage_(&stage), trip_(&trip), requests_(&requests), boxes_(&boxes) {}

    [[nodiscard]] std::vector<ParcelOptions> assess(const LaneOptions::Wanted& wanted,
                                                    const LaneOptions::Picked& picked) {
        std::vector<ParcelOptions> made(requests_->size());
        gather(wanted, picked, &made);
        if (slots_.empty()) return made;
        const std::vector<odds::Assessment> assessments = assess_boxes(*stage_, *trip_, occupied_);
        for (const Slot& slot : slots_) {
            made[slot.parcel].options.push_back(
                make_option(desk(slot.parcel), *trip_, *slot.packing, slot.cost, assessments[slot.occupied]));
        }
        return made;
    }

    [[nodiscard]] std::vector<std::vector<SketchedOption>> sketch(const LaneOptions::Wanted& wanted,
                                                                  const odds::SketchLimits& limits) {
        std::vector<std::vector<SketchedOption>> made(requests_->size());
        if (!stage_->doubt(*trip_).empty()) return made;
        gather(wanted, {}, nullptr);
        if (slots_.empty()) return made;
        const auto sketches = odds::sketch_trip(trip_->cases, stage_->world(*trip_), occupied_, limits);
        for (const Slot& slot : slots_) {
            if (const auto& sketch = sketches[slot.occupied])
                made[slot.parcel].push_back({trip_->cases.on_time.ship_date, trip_->service, slot.packing,
                                             *sketch, slot.cost.total_usd()});
        }
        return made;
    }

private:
    /// A parcel's box, and which of those assessed it is.
    struct Slot {
        std::size_t parcel;
        const box::Packing* packing;
        std::size_t occupied;
        Cost cost;
    };

    /// What no carrier takes is told to `told`, if any.
    void gather(const LaneOptions::Wanted& wanted, const LaneOptions::Picked& picked,
                std::vector<ParcelOptions>* told) {
        const transit::Trip& on_time = trip_->cases.on_time;
        const transit::Service& service = *trip_->service;
        for (std::size_t parcel = 0; parcel < requests_->size(); ++parcel) {
            if (wanted && !wanted(parcel, on_time, service)) continue;
            for (const odds::BoxModel* box : (*boxes_)[parcel]) {
                auto cost = price(desk(parcel), *trip_, box->packing());
                if (auto* why_not = std::get_if<std::string>(&cost)) {
                    if (told != nullptr) (*told)[parcel].left_out.push_back(std::move(*why_not));
                } else if (!picked || picked(parcel, on_time, service, box->packing())) {
                    add(parcel, *box, std::get<Cost>(cost));
                }
            }
        }
    }

    void add(std::size_t parcel, const odds::BoxModel& box, const Cost& cost) {
        const care::Species* species = (*requests_)[parcel].species;
        const auto [found, is_new] = known_.try_emplace({&box, species}, occupied_.size());
        if (is_new) occupied_.push_back({&box, species});
        slots_.push_back({parcel, &box.packing(), found->second, cost});
    }

    [[nodiscard]] Desk desk(std::size_t parcel) const { return {*workspace_, *stage_, (*requests_)[parcel]}; }

    const Workspace* workspace_;
    const Stage* stage_;
    const Stage::Trip* trip_;
    const std::vector<PlanRequest>* requests_;
    const BoxesOfParcels* boxes_;
    std::vector<Slot> slots_;
    std::vector<odds::Occupied> occupied_;
    std::map<std::pair<const odds::BoxModel*, const care::Species*>, std::size_t> known_;
};

}  // namespace

/// Boxes that were worked out already, each once: parcels are looked at several times.
class LaneOptions::Boxes {
public:
    Boxes(const Workspace& workspace, double outside_c) : workspace_(&workspace), outside_c_(outside_c) {}

    /// In the order of the parcel's packings. They stay where they are.
    [[nodiscard]] std::vector<const odds::BoxModel*> of(const PlanRequest& request) {
        const std::lock_guard lock(making_);
        std::vector<const odds::BoxModel*> boxes;
        for (const box::Packing* packing : request.packings) {
            const Key key{packing, request.contents.count, request.contents.mass_kg_each};
            auto found = models_.find(key);
            if (found == models_.end()) {
                found = models_
                            .try_emplace(key, *packing, workspace_->supplies.warmers, request.contents,
                                         workspace_->settings, outside_c_)
                            .first;
            }
            boxes.push_back(&found->second);
        }
        return boxes;
    }

private:
    using Key = std::tuple<const box::Packing*, int, double>;
    const Workspace* workspace_;
    double outside_c_;
    std::mutex making_;
    std::map<Key, odds::BoxModel> models_;
};

LaneOptions::LaneOptions(const Workspace& workspace, const weather::ForecastSource& source,
                         const LaneRequest& request)
    : workspace_(&workspace),
      request_(plan_request(request)),
      stage_(std::make_unique<Stage>(workspace, source, request_)),
      boxes_(std::make_unique<Boxes>(workspace, stage_->typical_outside_c())) {}

LaneOptions::~LaneOptions() = default;

std::vector<ParcelOptions> LaneOptions::assess(std::span<const Parcel> parcels, const Wanted& wanted,
                                               unsigned threads, const Picked& picked) const {
    std::vector<ParcelOptions> made(parcels.size());
    const std::vector<PlanRequest> requests = requests_of(request_, parcels, made);
    BoxesOfParcels boxes;
    for (const PlanRequest& of_parcel : requests) boxes.push_back(boxes_->of(of_parcel));
    const std::vector<Stage::Trip>& trips = stage_->trips();
    std::vector<std::vector<ParcelOptions>> by_trip(trips.size());
    parallel_for(trips.size(), threads, [&](std::size_t i) {
        by_trip[i] = OnTrip(*workspace_, *stage_, trips[i], requests, boxes).assess(wanted, picked);
    });
    for (std::vector<ParcelOptions>& on_trip : by_trip) {
        for (std::size_t i = 0; i < on_trip.size(); ++i) {
            std::move(on_trip[i].options.begin(), on_trip[i].options.end(),
                      std::back_inserter(made[i].options));
            for (std::string& why : on_trip[i].left_out) {
                if (std::find(made[i].left_out.begin(), made[i].left_out.end(), why) ==
                    made[i].left_out.end())
                    made[i].left_out.push_back(std::move(why));
            }
        }
    }
    return made;
}

std::vector<std::vector<SketchedOption>> LaneOptions::sketch(std::span<const Parcel> parcels,
                                                             const Wanted& wanted,
                                                             const odds::SketchLimits& limits,
                                                             unsigned threads) const {
    std::vector<ParcelOptions> without_room(parcels.size());
    const std::vector<PlanRequest> requests = requests_of(request_, parcels, without_room);
    BoxesOfParcels boxes;
    for (const PlanRequest& of_parcel : requests) boxes.push_back(boxes_->of(of_parcel));
    const std::vector<Stage::Trip>& trips = stage_->trips();
    std::vector<std::vector<std::vector<SketchedOption>>> by_trip(trips.size());
    parallel_for(trips.size(), threads, [&](std::size_t i) {
        by_trip[i] = OnTrip(*workspace_, *stage_, trips[i], requests, boxes).sketch(wanted, limits);
    });
    std::vector<std::vector<SketchedOption>> made(parcels.size());
    for (const auto& on_trip : by_trip) {
        for (std::size_t i = 0; i < on_trip.size(); ++i)
            made[i].insert(made[i].end(), on_trip[i].begin(), on_trip[i].end());
    }
    return made;
}

const std::vector<PlaceWeather>& LaneOptions::weather() const {
    return stage_->weather();
}

const std::vector<ClosedDay>& LaneOptions::closed() const {
    return stage_->closed();
}

const std::vector<std::string>& LaneOptions::not_sold() const {
    return stage_->not_sold();
}

}  // namespace mildway::planning
