// Draws the weather of a few scenarios at all spots of a lattice.
#pragma once

#include "mildway/weather/sampled_weather.hpp"

#include "error_nodes.hpp"

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace mildway::weather {

/// Scenarios worked on together: enough to use wide registers, few enough that all nodes of a spot stay in
/// the cache.
inline constexpr std::size_t kChunk = 128;
static_assert(kChunk % 4 == 0);

/// A value in each scenario of a chunk.
using Row = std::array<float, kChunk>;
using Rows = std::vector<Row>;  ///< [node]

/// The hours that are drawn.
struct Window {
    Instant first_hour;
    std::uint32_t hour_count = 0;
};

class ChunkSampler {
public:
    /// `known`: what the first spots drew as if they were alone, from take_own() of another sampler with the
    /// same nodes. Borrows the lattice.
    ChunkSampler(const ErrorLattice& lattice, std::uint64_t seed, std::uint32_t first_scenario,
                 std::size_t size, std::span<const Rows> known);

    /// Writes forecast plus error for every hour of the window, [hour][scenario], of all `scenarios`.
    void write(const PlaceOutlook& at, std::size_t spot, const Window& window, std::uint32_t scenarios,
               float* out);

    /// Of the first `spots` spots. The last that is asked of a sampler.
    [[nodiscard]] std::vector<Rows> take_own(std::size_t spots);

private:
    [[nodiscard]] std::uint32_t number(std::size_t node) const {
        return static_cast<std::uint32_t>(lattice_.first_number) + static_cast<std::uint32_t>(node);
    }
    const Rows& own(std::size_t spot);
    const Rows& errors(std::size_t spot);
    [[nodiscard]] Rows draw_own(const Spot& spot) const;
    [[nodiscard]] Rows mixed(std::size_t spot);
    void scale(const Spot& spot, Rows& rows) const;
    [[nodiscard]] std::size_t node_before(std::size_t spot, Instant hour, std::size_t hint) const;
    void add_forecast(const Outlook& outlook, Instant hour, const std::vector<std::uint32_t>& members,
                      const Row& residual, float* row) const;
    void add_error(std::size_t spot, Instant hour, std::size_t node, float* row);

    const ErrorLattice& lattice_;
    std::uint64_t seed_;
    std::uint32_t first_scenario_;
    std::size_t size_;
    std::span<const Rows> known_;
    std::vector<std::optional<Rows>> own_;     // [spot] standard normal errors as if it were alone
    std::vector<std::optional<Rows>> errors_;  // [spot] K
};

}  // namespace mildway::weather
