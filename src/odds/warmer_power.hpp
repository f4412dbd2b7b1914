// The warmers' output at every point of a block, shared by packings that use the same warmer alike.
#pragma once

#include "mildway/box/packing.hpp"

#include "aligned.hpp"

#include <vector>

namespace mildway::odds {

class WarmerPower {
public:
    explicit WarmerPower(const box::Warmers& warmers) : warmers_(&warmers) {}

    /// `elapsed_s`: time since packing, any layout; results have the same. Borrowed until the next call.
    void start_block(const AlignedFloats& elapsed_s);

    /// W, all units of this use as their table says.
    [[nodiscard]] const float* unit_power(const box::WarmerUse& use);

private:
    /// Adds slope_w_per_h for every hour after from_h, hours since packing.
    struct Ramp {
        float from_h;
        float slope_w_per_h;
    };
    struct Series {
        box::WarmerUse use{};
        std::vector<Ramp> ramps;
        bool current = false;
        AlignedFloats power_w;
    };
    [[nodiscard]] static std::vector<Ramp> ramps(const box::WarmerType& type, const box::WarmerUse& use);

    const box::Warmers* warmers_;
    const AlignedFloats* elapsed_s_ = nullptr;
    std::vector<Series> series_;
};

}  // namespace mildway::odds
