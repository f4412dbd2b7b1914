// Vectors of scenarios, for kernel.cpp alone: GCC's vector extension, so that each lane does the same
// arithmetic, in the same order, at any vector width.
#pragma once

#include "kernel.hpp"

#define MILDWAY_INLINE [[gnu::always_inline]] inline

namespace mildway::odds {

using Floats4 [[gnu::vector_size(16)]] = float;
using Floats8 [[gnu::vector_size(32)]] = float;
using Floats16 [[gnu::vector_size(64)]] = float;

template <class V>
constexpr int kWidth = static_cast<int>(sizeof(V) / sizeof(float));

template <class V>
MILDWAY_INLINE V load(const float* from) {
    return *static_cast<const V*>(__builtin_assume_aligned(from, sizeof(V)));
}

template <class V>
MILDWAY_INLINE void store(float* to, V value) {
    *static_cast<V*>(__builtin_assume_aligned(to, sizeof(V))) = value;
}

template <class V>
MILDWAY_INLINE void add_to(float* total, V amount) {
    store(total, load<V>(total) + amount);
}

/// The same in every lane.
template <class V>
MILDWAY_INLINE V all(float value) {
    return V{} + value;
}

template <class V>
MILDWAY_INLINE V smaller(V a, V b) {
    return a < b ? a : b;
}

template <class V>
MILDWAY_INLINE V larger(V a, V b) {
    return a > b ? a : b;
}

template <class V>
MILDWAY_INLINE V magnitude(V a) {
    return larger(a, -a);
}

/// Square root, relative error below 5e-6: two of Newton's steps from the well-known guess at 1/sqrt by the
/// bits of a float.
template <class V>
MILDWAY_INLINE V square_root(V a) {
    using Bits = decltype(a < a);
    V inverse = __builtin_bit_cast(V, 0x5f375a86 - (__builtin_bit_cast(Bits, a) >> 1));
    inverse *= 1.5f - 0.5f * a * inverse * inverse;
    inverse *= 1.5f - 0.5f * a * inverse * inverse;
    return a * inverse;
}

using Bytes16 [[gnu::vector_size(16)]] = signed char;
using Words2 [[gnu::vector_size(16)]] = long long;
using Words4 [[gnu::vector_size(32)]] = long long;

/// Whether any lane of `a` is above `limit`. Several answers are looked at in one word: one lane after the
/// other would cost more than the arithmetic that is to be saved.
MILDWAY_INLINE bool any_above(Floats4 a, float limit) {
    const auto words = __builtin_bit_cast(Words2, a > limit);
    return (words[0] | words[1]) != 0;
}
MILDWAY_INLINE bool any_above(Floats8 a, float limit) {
    const auto words = __builtin_bit_cast(Words4, a > limit);
    return (words[0] | words[1] | words[2] | words[3]) != 0;
}
MILDWAY_INLINE bool any_above(Floats16 a, float limit) {
    const auto words = __builtin_bit_cast(Words2, __builtin_convertvector(a > limit, Bytes16));
    return (words[0] | words[1]) != 0;
}

}  // namespace mildway::odds
