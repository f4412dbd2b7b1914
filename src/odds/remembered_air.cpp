#include "remembered_air.hpp"

#include "mildway/odds/low_pass.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace mildway::odds {

namespace {

constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();

double mean_at(const weather::Outlook& outlook, Instant hour) {
    if (hour < outlook.first_hour) return kUnknown;
    return outlook.mean_c(static_cast<std::size_t>((hour - outlook.first_hour) / hours(1)));
}

/// The first hour with a temperature in every member; the outlook's end when there is none.
Instant first_known(const weather::Outlook& outlook) {
    Instant hour = outlook.first_hour;
    while (hour < outlook.end() && outlook.first_unknown(hour, hour)) hour += hours(1);
    return hour;
}

/// How far the memory at the hour `until` is from the air of that hour, by the outlook alone, K. It begins at
/// the first of the hours within reach from which on the outlook knows all.
double memory_apart_k(const weather::Outlook& outlook, Instant until, const LowPass& pass, int reach) {
    double memory = kUnknown, air = kUnknown;
    for (Instant hour = until - hours(reach); hour <= until; hour += hours(1)) {
        const double next = mean_at(outlook, hour);
        memory = std::isnan(air) || std::isnan(next) ? next : pass.next(memory, air, next);
        air = next;
    }
    return std::isnan(memory) ? 0 : memory - air;
}

}  // namespace

std::vector<float> remembered_air(const weather::Outlook& outlook, const weather::SampledWeather& sampled,
                                  std::size_t place, double lag_hours) {
    const LowPass pass(1, lag_hours);
    const int reach = reach_hours(lag_hours);
    const std::size_t width = sampled.scenarios();
    std::vector<float> memory;
    memory.reserve(sampled.block(place).size());
    std::vector<float> state(width);
    const Instant begin = first_known(outlook);
    bool begun = false;
    int known_for = reach;  // hours since a gap, as far as they matter; what was before all data is no gap
    for (std::uint32_t i = 0; i < sampled.hour_count(); ++i) {
        const Instant hour = sampled.first_hour() + hours(static_cast<int>(i));
        if (hour < begin) {
            memory.insert(memory.end(), width, std::numeric_limits<float>::quiet_NaN());
            continue;
        }
        const float* air = sampled.hour(place, i).data();
        const bool known = !outlook.first_unknown(hour, hour);
        if (!begun) {
            begun = true;
            const auto apart = static_cast<float>(memory_apart_k(outlook, hour, pass, reach));
            for (std::size_t s = 0; s < width; ++s) state[s] = air[s] + apart;
        } else if (known_for < 0) {
            std::copy_n(air, width, state.begin());
        } else {
            const float* before = sampled.hour(place, i - 1).data();
            for (std::size_t s = 0; s < width; ++s) state[s] = pass.next(state[s], before[s], air[s]);
        }
        known_for = known ? std::min(reach, known_for + 1) : -1;
        if (known_for == reach) {
            memory.insert(memory.end(), state.begin(), state.end());
        } else {
            memory.insert(memory.end(), width, std::numeric_limits<float>::quiet_NaN());
        }
    }
    return memory;
}

}  // namespace mildway::odds
