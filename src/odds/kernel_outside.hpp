// Time outside the safe band over a leg, for kernel.cpp alone.
#pragma once

#include "kernel_leg.hpp"

namespace mildway::odds {

/// Nearer to the band's edge than this, a curve may cross it between two points, K.
inline constexpr float kEdgeMarginK = 0.25f;

/// How a leg lies to one edge of the band, over all lanes.
enum class Lie { inside, across, outside };

template <class V>
struct Outside {
    V hours;
    V degree_hours;
};

/// One edge of the band; excess over it is positive outside.
struct Edge {
    float at_c;
    float sign;  ///< +1: outside is above, -1: below

    template <class V>
    MILDWAY_INLINE V excess(V temp) const {
        return temp * sign - at_c * sign;
    }
};

template <class V>
MILDWAY_INLINE Lie lie_of(const Edge& edge, const AnimalsCurve<V>& curve) {
    const V at_low = edge.excess(curve.lowest), at_high = edge.excess(curve.highest);
    if (!any_above(larger(at_low, at_high), -kEdgeMarginK)) return Lie::inside;
    return any_above(-smaller(at_low, at_high), -kEdgeMarginK) ? Lie::across : Lie::outside;
}

/// Excess over an edge at one point: its positive part and its size.
template <class V>
struct Excess {
    V above;
    V size;
};

template <class V>
MILDWAY_INLINE Excess<V> split(V excess) {
    const V above = larger(excess, V{});
    return {above, above * 2.0f - excess};
}

/// Time and twice the degree time that a straight line from `a` to `b` spends above zero, in steps of
/// length 1.
template <class V>
MILDWAY_INLINE void add_line(const Excess<V>& a, const Excess<V>& b, Outside<V>& sum) {
    const V above = a.above + b.above;
    const V share = above / (a.size + b.size + 1e-12f);
    sum.hours += share;
    sum.degree_hours += share * above;
}

/// Where the leg crosses the edge. Between two points runs a cubic, cut into three straight pieces: straight
/// lines between 15-minute points would be off by up to 0.2 h in a trip. Its slopes are exact at the ends of
/// the leg and one step after a jump of the surroundings, and central differences between.
template <class V>
MILDWAY_INLINE Outside<V> outside_edge(const Edge& edge, const AnimalsCurve<V>& curve,
                                       const EndSlopes<V>& slopes, V step_h) {
    const auto excess = [&](int k) { return edge.excess(load<V>(curve.temps + k * kLanes)); };
    Outside<V> sum{};
    const auto slope_at = [&](int k) {
        if (k == 1) return slopes.second * edge.sign;
        if (k == curve.steps) return slopes.last * edge.sign;
        return (excess(k + 1) - excess(k - 1)) * 0.5f;
    };
    V here = excess(0);
    V slope = slopes.first * edge.sign;
    for (int k = 1; k <= curve.steps; ++k) {
        const V next = excess(k);
        const V next_slope = slope_at(k);
        if (any_above(larger(here, next), -kEdgeMarginK)) {
            const V third = here * (20.0f / 27.0f) + next * (7.0f / 27.0f) + slope * (4.0f / 27.0f) -
                            next_slope * (2.0f / 27.0f);
            const V two_thirds = here * (7.0f / 27.0f) + next * (20.0f / 27.0f) + slope * (2.0f / 27.0f) -
                                 next_slope * (4.0f / 27.0f);
            const Excess<V> points[] = {split(here), split(third), split(two_thirds), split(next)};
            for (int i = 0; i < 3; ++i) add_line(points[i], points[i + 1], sum);
        }
        here = next;
        slope = next_slope;
    }
    return {sum.hours * step_h * (1.0f / 3.0f), sum.degree_hours * step_h * (1.0f / 6.0f)};
}

/// Where every scenario stays outside through the leg: all of it counts.
template <class V>
MILDWAY_INLINE Outside<V> wholly_outside(const Edge& edge, const AnimalsCurve<V>& curve, V step_h) {
    const V first = load<V>(curve.temps), last = load<V>(curve.temps + curve.steps * kLanes);
    const V sum = curve.sum + 0.5f * (first - last);
    const auto steps = static_cast<float>(curve.steps);
    return {step_h * steps, (sum - edge.at_c * steps) * edge.sign * step_h};
}

template <class V>
MILDWAY_INLINE Outside<V> measure(Lie lie, const Edge& edge, const AnimalsCurve<V>& curve,
                                  const EndSlopes<V>& slopes, V step_h) {
    if (lie == Lie::inside) return {V{}, V{}};
    if (lie == Lie::outside) return wholly_outside(edge, curve, step_h);
    return outside_edge(edge, curve, slopes, step_h);
}

}  // namespace mildway::odds
