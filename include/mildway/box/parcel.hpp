// One parcel followed through given surroundings, step by exact step in double precision.
#pragma once

#include "mildway/box/modes.hpp"

namespace mildway::box {

/// The linear part is stepped exactly. A coolant's temperature is taken as straight within a step of at most
/// four minutes and found at its end from the heat that has gone into it, which makes heat balance to
/// rounding; while it melts its temperature stands still and the step is exact (docs/model.md (B10)).
class ParcelRun {
public:
    /// Borrowed. Everything but the coolant starts at `everywhere_c`.
    ParcelRun(const Network& network, double everywhere_c);

    /// From now on these modes apply: the same network in another setting. To be called before the first
    /// step.
    void enter(const Modes& modes);

    /// One step under ambient and warmers' power that run straight from the one value to the other.
    void advance(double length_s, double ambient0_c, double ambient1_c, double power0_w, double power1_w);

    [[nodiscard]] const NodeTemps& temps_c() const { return temps_c_; }
    /// Only with a coolant.
    [[nodiscard]] double coolant_c() const;
    [[nodiscard]] double coolant_melted_share() const;
    /// Heat in the coolant above solid at its melting point, J.
    [[nodiscard]] double coolant_heat_j() const { return coolant_j_; }

private:
    void advance_cooled(double length_s, double ambient0_c, double ambient1_c, double power0_w,
                        double power1_w);

    const Network* network_;
    const Modes* modes_ = nullptr;
    NodeTemps temps_c_{};
    NodeTemps x_{};
    double coolant_j_ = 0;
};

}  // namespace mildway::box
