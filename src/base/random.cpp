#include "mildway/base/random.hpp"

#include "mildway/base/wide.hpp"

#include <algorithm>
#include <cmath>

namespace mildway {

namespace {

/// 32 random bits to the open interval (0, 1), on the midpoints of 2^32 equal steps. Kept in double until the
/// quantile so that the upper tail is as fine as the lower one.
double open_unit(std::uint32_t bits) noexcept {
    return (static_cast<double>(bits) + 0.5) * 0x1p-32;
}

double tail_quantile(double tail_probability) noexcept {
    double r = std::sqrt(-std::log(tail_probability));
    if (r <= 5.0) {
        r -= 1.6;
        return (((1.7023821103e-1 * r + 1.3067284816) * r + 2.7568153900) * r + 1.4234372777) /
               ((1.2021132975e-1 * r + 7.3700164250e-1) * r + 1.0);
    }
    r -= 5.0;
    return (((1.7337203997e-2 * r + 4.2868294337e-1) * r + 3.0812263860) * r + 6.6579051150) /
           ((1.2258202635e-2 * r + 2.4197894225e-1) * r + 1.0);
}

bool is_tail(double q) noexcept {
    return std::abs(q) > 0.425;
}

double central_quantile(double q) noexcept {
    const double r = 0.180625 - q * q;
    return q * (((5.9109374720e+1 * r + 1.5929113202e+2) * r + 5.0434271938e+1) * r + 3.3871327179) /
           (((6.7187563600e+1 * r + 7.8757757664e+1) * r + 1.7895169469e+1) * r + 1.0);
}

double quantile(double p) noexcept {
    const double q = p - 0.5;
    if (!is_tail(q)) return central_quantile(q);
    return q < 0 ? -tail_quantile(p) : tail_quantile(1.0 - p);
}

/// Values drawn together: enough counters, of four values each, to fill the widest registers.
constexpr std::size_t kCounters = 16;
constexpr std::size_t kLot = 4 * kCounters;

struct Counters {
    std::uint32_t first_block;
    std::uint32_t index;
    std::uint32_t subject;
    std::uint32_t purpose;
};

/// Philox4x32-10 (Salmon, Moraes, Dror and Shaw 2011) of kCounters counters that follow each other; the bits
/// as uniforms, those of one counter side by side.
MILDWAY_WIDE void draw_lot(const Counters& counters, std::uint32_t key_low, std::uint32_t key_high,
                           double* __restrict uniforms) noexcept {
    for (std::size_t i = 0; i < kCounters; ++i) {
        std::uint32_t a = counters.first_block + static_cast<std::uint32_t>(i);
        std::uint32_t b = counters.index;
        std::uint32_t c = counters.subject;
        std::uint32_t d = counters.purpose;
        std::uint32_t low_key = key_low;
        std::uint32_t high_key = key_high;
        for (int round = 0; round < 10; ++round) {
            const std::uint64_t low = std::uint64_t{0xD2511F53} * a;
            const std::uint64_t high = std::uint64_t{0xCD9E8D57} * c;
            a = static_cast<std::uint32_t>(high >> 32) ^ b ^ low_key;
            c = static_cast<std::uint32_t>(low >> 32) ^ d ^ high_key;
            b = static_cast<std::uint32_t>(high);
            d = static_cast<std::uint32_t>(low);
            low_key += 0x9E3779B9;
            high_key += 0xBB67AE85;
        }
        uniforms[4 * i] = open_unit(a);
        uniforms[4 * i + 1] = open_unit(b);
        uniforms[4 * i + 2] = open_unit(c);
        uniforms[4 * i + 3] = open_unit(d);
    }
}

/// The middle of the distribution for all of a lot; the tails, one value in seven, are put right afterwards.
MILDWAY_WIDE void central_quantiles(const double* __restrict uniforms, float* __restrict out) noexcept {
    for (std::size_t i = 0; i < kLot; ++i) out[i] = static_cast<float>(central_quantile(uniforms[i] - 0.5));
}

void tail_quantiles(const double* uniforms, float* out) noexcept {
    for (std::size_t i = 0; i < kLot; ++i) {
        if (is_tail(uniforms[i] - 0.5)) out[i] = static_cast<float>(quantile(uniforms[i]));
    }
}

/// Draws lot by lot; `finish` makes values of a lot's uniforms.
template <class Finish>
void fill(const Counters& counters, std::uint32_t key_low, std::uint32_t key_high, std::span<float> out,
          Finish finish) noexcept {
    double uniforms[kLot];
    float values[kLot];
    for (std::size_t s = 0; s < out.size(); s += kLot) {
        Counters lot = counters;
        lot.first_block += static_cast<std::uint32_t>(s / 4);
        draw_lot(lot, key_low, key_high, uniforms);
        finish(uniforms, values);
        std::copy_n(values, std::min(kLot, out.size() - s), &out[s]);
    }
}

}  // namespace

RandomStream::RandomStream(std::uint64_t seed, Purpose purpose, std::uint32_t subject) noexcept
    : key_low_(static_cast<std::uint32_t>(seed)),
      key_high_(static_cast<std::uint32_t>(seed >> 32)),
      purpose_(static_cast<std::uint32_t>(purpose)),
      subject_(subject) {}

void RandomStream::uniforms(std::uint32_t index, std::uint32_t first_scenario,
                            std::span<float> out) const noexcept {
    fill({first_scenario / 4, index, subject_, purpose_}, key_low_, key_high_, out,
         [](const double* lot, float* values) {
             for (std::size_t i = 0; i < kLot; ++i)
                 values[i] = std::min(std::max(static_cast<float>(lot[i]), 0x1p-33f), 1.0f - 0x1p-24f);
         });
}

void RandomStream::normals(std::uint32_t index, std::uint32_t first_scenario,
                           std::span<float> out) const noexcept {
    fill({first_scenario / 4, index, subject_, purpose_}, key_low_, key_high_, out,
         [](const double* lot, float* values) {
             central_quantiles(lot, values);
             tail_quantiles(lot, values);
         });
}

std::uint32_t subject_of(std::string_view text) noexcept {
    std::uint32_t hash = 2166136261u;
    for (const char letter : text) hash = (hash ^ static_cast<unsigned char>(letter)) * 16777619u;
    return hash;
}

float normal_quantile(float p) noexcept {
    return static_cast<float>(quantile(static_cast<double>(p)));
}

}  // namespace mildway
