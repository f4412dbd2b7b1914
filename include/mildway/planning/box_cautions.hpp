// What a recipe's own figures call for minding, beyond the usual cautions.
#pragma once

#include "mildway/box/network.hpp"
#include "mildway/care/advice.hpp"
#include "mildway/planning/workspace.hpp"

#include <optional>
#include <vector>

namespace mildway::planning {

/// One packing with its animals.
struct PackedBox {
    const box::Packing* packing = nullptr;
    box::Contents contents;
    const care::Species* species = nullptr;
    std::optional<double> warmest_around_c;  ///< air around the box at the warmest likely moment (95 of 100)
};

/// Warmers that can lift the animals out of their band on the warmest likely day, that find no room away from
/// the cups, or that leave too little oxygen; packs that are colder or warmer than the animals bear, or wet
/// what is near. Empty when there is nothing of the kind.
[[nodiscard]] std::vector<care::Advice> box_cautions(const Workspace& workspace, const PackedBox& parcel);

/// The same, followed by the usual ones.
[[nodiscard]] std::vector<care::Advice> all_cautions(const Workspace& workspace, const PackedBox& parcel);

}  // namespace mildway::planning
