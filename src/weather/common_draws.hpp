// What is drawn of the places that several lists begin with.
#pragma once

#include "chunk_sampler.hpp"

#include <memory>
#include <vector>

namespace mildway::weather {

/// [hour][scenario], degC.
using Block = std::vector<float>;

struct CommonDraws {
    std::vector<PlaceOutlook> places;
    Window window;
    int first_number = 0;  ///< of the lattice's nodes
    std::size_t nodes = 0;
    std::uint32_t scenarios = 0;
    std::uint64_t seed = 0;

    std::vector<std::shared_ptr<const Block>> blocks;  ///< [place]
    std::vector<std::vector<Rows>> own;  ///< [chunk][spot] standard normal errors as if each were alone
};

/// Whether all that a draw depends on is the same, to the bit.
[[nodiscard]] bool draws_alike(const PlaceOutlook& a, const PlaceOutlook& b);

}  // namespace mildway::weather
