// A packing recipe as steps for the one who packs.
#pragma once

#include "mildway/reports/sheet.hpp"

namespace mildway::reports {

/// Before packing, a cold pack lies at its temperature for so long: common practice, no source.
inline constexpr hours kConditioned{24};

/// What is done with a recipe, for times and steps.
struct PackingTask {
    const planning::Workspace* workspace = nullptr;
    const box::Packing* packing = nullptr;
    std::vector<SheetAnimal> animals;
    Instant packed;  ///< the animals go in, and the box is closed
};

/// In the order in which they are done.
[[nodiscard]] std::vector<SheetStep> packing_steps(const PackingTask& task);

/// When a warmer of the recipe is opened.
[[nodiscard]] Instant opened_at(const PackingTask& task, const box::WarmerUse& use);

/// All of a recipe that its figures rest on. Two recipes with the same text are the same.
[[nodiscard]] std::string whole_recipe(const box::Packing& packing, const box::Warmers& types);

}  // namespace mildway::reports
