// Warmers at work in a box whose air they share.
#pragma once

#include "mildway/box/packing.hpp"

#include <span>
#include <vector>

namespace mildway::box {

/// Iron burns in proportion to the oxygen around it, so a warmer in a tight box gives less, for longer; one
/// that is starved stalls and goes on when it is aired (the law is judgement, docs/model.md (B9)):
///
///   p = share(t) sum_k scale_k count_k table_k(opened_k + s),  ds/dt = share,
///   V d share/dt = q (1 - share) - 0.77 L/(W h) p
///
/// with share the oxygen in the box relative to fresh air, s the hours burnt since packing, V the inside of
/// the box (L) and q its air exchange (L/h). Before packing a warmer lies in free air.
class Burning {
public:
    /// `scales`: output of each use relative to its table, one for each of packing.warmers.
    Burning(const Packing& packing, const Warmers& types, double air_exchange_l_per_h,
            std::span<const double> scales);

    [[nodiscard]] double power_w() const;
    [[nodiscard]] double oxygen_share() const { return oxygen_share_; }
    /// Hours' worth of the tables that have been burnt since packing.
    [[nodiscard]] double burnt_h() const { return burnt_h_; }
    void advance(double length_s);

private:
    [[nodiscard]] double free_air_power_w(double burnt_h) const;
    [[nodiscard]] bool is_spent() const;

    struct Use {
        const WarmerType* type;
        double opened_h;
        double scale;  ///< of all units of this use together
    };
    std::vector<Use> uses_;
    double volume_l_;
    double air_l_per_h_;
    double oxygen_share_ = 1;
    double burnt_h_ = 0;
};

/// Where the oxygen settles when the warmers' output in free air stands still: q / (q + 0.77 L/(W h) P).
[[nodiscard]] double settled_oxygen_share(double free_air_w, double air_exchange_l_per_h);

/// The most that all warmers of a parcel, each as its table says, give at once in free air, W; 0 without any.
[[nodiscard]] double most_free_air_power_w(const Packing& packing, const Warmers& types);

/// Output of all warmers in free air so long after packing, W.
[[nodiscard]] double free_air_power_w(const Packing& packing, const Warmers& types, double hours);

}  // namespace mildway::box
