// Options of a plan: a trip and a box, assessed, judged and priced.
#pragma once

#include "mildway/odds/box_model.hpp"
#include "mildway/planning/plan.hpp"

#include <span>
#include <string>
#include <variant>
#include <vector>

namespace mildway::planning {

/// What the options of one plan have in common. Borrowed.
struct Desk {
    const Workspace& workspace;
    const Stage& stage;
    const PlanRequest& request;
};

[[nodiscard]] std::vector<odds::BoxModel> model_boxes(const Desk& desk,
                                                      std::span<const box::Packing* const> packings);

struct TripOptions {
    std::vector<Option> options;
    std::vector<std::string> left_out;  ///< why a parcel is not taken, a sentence each
};

/// What one box on one trip costs, or a sentence on why no carrier takes it.
[[nodiscard]] std::variant<Cost, std::string> price(const Desk& desk, const Stage::Trip& trip,
                                                    const box::Packing& packing);

/// One box on one trip: judged, and with what being late would mean.
[[nodiscard]] Option make_option(const Desk& desk, const Stage::Trip& trip, const box::Packing& packing,
                                 const Cost& cost, odds::Assessment assessment);

/// Of boxes on one trip; nothing is known of any when the trip's weather cannot be used.
[[nodiscard]] std::vector<odds::Assessment> assess_boxes(const Stage& stage, const Stage::Trip& trip,
                                                         std::span<const odds::Occupied> boxes);

/// All boxes on one trip, not ranked.
[[nodiscard]] TripOptions assess_options(const Desk& desk, const Stage::Trip& trip,
                                         std::span<const odds::BoxModel> boxes);

/// What changing one thing in the best option would mean: another day, service or packing, holding at a
/// counter or not, one warmer more or less. Of each kind the best that there is, every one assessed, also
/// services and packings that were not asked about. `ranked` are the plan's options, best first.
[[nodiscard]] std::vector<Change> single_changes(const Desk& desk, const std::vector<Option>& ranked);

}  // namespace mildway::planning
