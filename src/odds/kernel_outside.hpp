// Time outside the safe band over a leg, for kernel.cpp alone.
#pragma once

#include "kernel_slopes.hpp"

namespace mildway::odds {

/// Nearer to the band's edge than this, a curve may cross it between two points of a leg, K.
inline constexpr float kEdgeMarginK = 0.25f;

/// How a leg lies to one edge of the band, over all lanes.
enum class Lie { inside, across, outside };

template <class V>
struct Outside {
    V hours;
    V degree_hours;

    MILDWAY_INLINE void add(const Outside& part) {
        hours += part.hours;
        degree_hours += part.degree_hours;
    }
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

/// The excess over an edge between two points, by values and slopes at both (K, K for each step): the
/// parabola through both and through the middle of the cubic, f(t) = from + linear t - bend t^2.
template <class V>
struct Arc {
    V from;
    V linear;
    V bend;

    MILDWAY_INLINE V area(V t) const { return t * (from + t * (0.5f * linear - t * (1.0f / 3.0f) * bend)); }
};

/// Adds the time that an arc of length 1 spends above zero, and its degree time.
template <class V>
MILDWAY_INLINE void add_arc(const Arc<V>& arc, Outside<V>& sum) {
    constexpr float kStraight = 1e-6f;  // K: keeps the far root finite
    const auto hollow = arc.bend < 0.0f;
    const V size = magnitude(arc.bend) + kStraight;
    const V bend = hollow ? -size : size;
    const V within = arc.linear * arc.linear + 4.0f * bend * arc.from;
    const V root = square_root(larger(within, all<V>(1e-12f)));
    const V sum_of = arc.linear < 0.0f ? arc.linear - root : arc.linear + root;
    const V inverse = 0.5f / (bend * sum_of);
    const V far = sum_of * sum_of * inverse, near = -4.0f * bend * arc.from * inverse;
    const V one = all<V>(1.0f);
    const V begin = smaller(larger(smaller(far, near), V{}), one);
    const V last = smaller(larger(larger(far, near), V{}), one);
    const V end = within > 0.0f ? last : begin;
    const V between = end - begin, area = arc.area(end) - arc.area(begin);
    sum.hours += hollow ? 1.0f - between : between;
    sum.degree_hours += hollow ? arc.area(one) - area : area;
}

/// A leg that crosses an edge.
template <class V>
class Crossing {
public:
    MILDWAY_INLINE Crossing(const Edge& edge, const AnimalsCurve<V>& curve, const EndSlopes<V>& slopes)
        : edge_(edge), curve_(curve), slopes_(slopes) {}

    MILDWAY_INLINE Outside<V> measure(V step_h) const {
        Outside<V> sum{};
        for (int first = 0; first < curve_.steps; first += kAtOnce) {
            int near[kAtOnce];
            const int count = scan(first, sum, near);
            for (int i = 0; i < count; ++i) correct(near[i], sum);
        }
        return {sum.hours * step_h, sum.degree_hours * step_h};
    }

private:
    static constexpr int kAtOnce = 64;

    MILDWAY_INLINE V excess(int k) const { return edge_.excess(load<V>(curve_.temps + k * kLanes)); }

    /// The animals' slope, K for each step: exact at the ends of the leg and one step after its beginning,
    /// where the surroundings jump, and differences between.
    MILDWAY_INLINE V slope(int k) const {
        if (k == 0) return slopes_.first * edge_.sign;
        if (k == 1) return slopes_.second * edge_.sign;
        if (k == curve_.steps) return slopes_.last * edge_.sign;
        const V near = excess(k + 1) - excess(k - 1);
        if (k + 2 > curve_.steps) return 0.5f * near;
        return near * (2.0f / 3.0f) - (excess(k + 2) - excess(k - 2)) * (1.0f / 12.0f);
    }

    /// From point k to the next; beyond the end of the leg what the slope there says.
    MILDWAY_INLINE V change(int k) const {
        if (k < curve_.steps) return excess(k + 1) - excess(k);
        return 2.0f * slopes_.last * edge_.sign - (excess(k) - excess(k - 1));
    }

    /// By how much the curve turns about point k; at the beginning so that it and the turn about point 1 are
    /// twice what the slope changes by in the first step.
    MILDWAY_INLINE V turn(int k) const {
        if (k > 0) return change(k) - change(k - 1);
        return 2.0f * (slopes_.second - slopes_.first) * edge_.sign - (change(1) - change(0));
    }

    /// As if no step crossed the edge; notes those that may in some lane. No branches: these would often be
    /// foretold wrongly.
    MILDWAY_INLINE int scan(int first, Outside<V>& sum, int* near) const {
        const int end = first + kAtOnce < curve_.steps ? first + kAtOnce : curve_.steps;
        int count = 0;
        V here = excess(first), now = change(first), turned = turn(first);
        for (int k = first; k < end; ++k) {
            const V after = change(k + 1);
            const V turns_after = after - now;
            const V both = here + here + now;
            // a curve that turns by this much within a step lies an eighth of it beyond both ends
            const V reach = magnitude(now) + (magnitude(turned) + magnitude(turns_after)) * 0.3f;
            near[count] = k;
            count += any_above(reach - magnitude(both), 0.0f) ? 1 : 0;
            add_whole(both, turned + turns_after, sum, 1.0f);
            here += now;
            now = after;
            turned = turns_after;
        }
        return count;
    }

    /// A step on one side of the edge, by twice the mean of its ends and the turns at both.
    MILDWAY_INLINE static void add_whole(V both, V turns, Outside<V>& sum, float weight) {
        const auto above = both > 0.0f;
        sum.hours += above ? all<V>(weight) : V{};
        sum.degree_hours += above ? (0.5f * both - (1.0f / 24.0f) * turns) * weight : V{};
    }

    MILDWAY_INLINE void correct(int k, Outside<V>& sum) const {
        const V here = excess(k), now = change(k), before = slope(k), after = slope(k + 1);
        add_whole(here + here + now, turn(k) + turn(k + 1), sum, -1.0f);
        if (k > 0) return add_step(here, now, before, after, 1.0f, sum);
        // right after a jump a parabola is not enough: the cubic in two halves
        const V half = 0.5f * now + 0.125f * (before - after);
        const V middle = 0.75f * now - 0.125f * (before + after);
        add_step(here, half, 0.5f * before, middle, 0.5f, sum);
        add_step(here + half, now - half, middle, 0.5f * after, 0.5f, sum);
    }

    /// By the excess at the beginning, its change, and the slopes at both ends for the length that is added.
    MILDWAY_INLINE static void add_step(V from, V change, V slope, V next_slope, float length,
                                        Outside<V>& sum) {
        const V half_turn = 0.5f * (slope - next_slope);
        Outside<V> part{};
        add_arc(Arc<V>{from, change + half_turn, half_turn}, part);
        sum.hours += part.hours * length;
        sum.degree_hours += part.degree_hours * length;
    }

    Edge edge_;
    const AnimalsCurve<V>& curve_;
    const EndSlopes<V>& slopes_;
};

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
    return Crossing<V>(edge, curve, slopes).measure(step_h);
}

}  // namespace mildway::odds
