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

/// One box on one trip: judged, priced and with what being late would mean; or why no carrier takes it.
[[nodiscard]] std::variant<Option, transit::NotSold> make_option(const Desk& desk, const Stage::Trip& trip,
                                                                 const box::Packing& packing,
                                                                 odds::Assessment assessment);

/// Nothing is known of any box: the trip's weather cannot be used.
[[nodiscard]] odds::Assessment unknown_assessment(const Stage::Trip& trip, const std::string& doubt);

/// All boxes on one trip, not ranked.
[[nodiscard]] TripOptions assess_options(const Desk& desk, const Stage::Trip& trip,
                                         std::span<const odds::BoxModel> boxes);

/// What changing one thing in the best option would mean: another day, service or packing, holding at a
/// counter or not, one warmer more or less. Of each kind the best that there is, every one assessed, also
/// services and packings that were not asked about. `ranked` are the plan's options, best first.
[[nodiscard]] std::vector<Change> single_changes(const Desk& desk, const std::vector<Option>& ranked);

}  // namespace mildway::planning
