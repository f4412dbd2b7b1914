// Counter-based random numbers: a value is a function of (seed, purpose, subject, index, scenario) and of
// nothing else, so that any thread may draw any value in any order and get the same bytes, and two options
// that share a purpose and subject share their luck (common random numbers).
#pragma once

#include <cstdint>
#include <span>
#include <string_view>

namespace mildway {

/// What a value is drawn for. The numbers are part of the results: never renumber.
enum class Purpose : std::uint32_t {
    weather_chain = 1,
    weather_phase = 2,
    weather_tail = 3,
    weather_residual = 4,
    leg_time = 5,
    setting_hold = 6,
    setting_sun = 7,
    warmer_output = 8,
    warmer_dud = 9,
    start_temperature = 10,
    late_night = 11,
    late_parcel = 12,
};

/// One family of draws, e.g. the handling of leg times. Cheap to make and copy.
class RandomStream {
public:
    /// `subject` tells apart things of one purpose (a place, a leg); see `subject_of`.
    RandomStream(std::uint64_t seed, Purpose purpose, std::uint32_t subject) noexcept;

    /// out[s] = uniform in (0, 1), scenario first_scenario + s. `index` is the caller's own counter (day,
    /// hour). `first_scenario` must be a multiple of 4.
    void uniforms(std::uint32_t index, std::uint32_t first_scenario, std::span<float> out) const noexcept;

    /// out[s] = standard normal, by inversion of the same uniforms (Wichura 1988, algorithm AS 241 PPND7,
    /// relative accuracy 1e-7; reach +-6.3 standard deviations).
    void normals(std::uint32_t index, std::uint32_t first_scenario, std::span<float> out) const noexcept;

private:
    std::uint32_t key_low_;
    std::uint32_t key_high_;
    std::uint32_t purpose_;
    std::uint32_t subject_;
};

/// A 32-bit name for a subject (FNV-1a).
[[nodiscard]] std::uint32_t subject_of(std::string_view text) noexcept;

/// Quantile of the standard normal for p in (0, 1); AS 241 PPND7.
[[nodiscard]] float normal_quantile(float p) noexcept;

}  // namespace mildway
