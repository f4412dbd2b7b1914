#include "mildway/base/random.hpp"

#include <cmath>

#include <Random123/philox.h>

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

double quantile(double p) noexcept {
    const double q = p - 0.5;
    if (std::abs(q) <= 0.425) {
        const double r = 0.180625 - q * q;
        return q * (((5.9109374720e+1 * r + 1.5929113202e+2) * r + 5.0434271938e+1) * r + 3.3871327179) /
               (((6.7187563600e+1 * r + 7.8757757664e+1) * r + 1.7895169469e+1) * r + 1.0);
    }
    return q < 0 ? -tail_quantile(p) : tail_quantile(1.0 - p);
}

template <class Transform>
void fill(std::uint32_t index, std::uint32_t first_scenario, std::uint32_t purpose, std::uint32_t subject,
          r123::Philox4x32::key_type key, std::span<float> out, Transform transform) noexcept {
    r123::Philox4x32 philox;
    for (std::size_t s = 0; s < out.size(); s += 4) {
        const auto block = (first_scenario + static_cast<std::uint32_t>(s)) / 4;
        const auto bits = philox(r123::Philox4x32::ctr_type{{block, index, subject, purpose}}, key);
        for (std::size_t i = 0; i < 4 && s + i < out.size(); ++i) out[s + i] = transform(open_unit(bits[i]));
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
    fill(index, first_scenario, purpose_, subject_, {{key_low_, key_high_}}, out,
         [](double u) { return std::fmin(std::fmax(static_cast<float>(u), 0x1p-33f), 1.0f - 0x1p-24f); });
}

void RandomStream::normals(std::uint32_t index, std::uint32_t first_scenario,
                           std::span<float> out) const noexcept {
    fill(index, first_scenario, purpose_, subject_, {{key_low_, key_high_}}, out,
         [](double u) { return static_cast<float>(quantile(u)); });
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
