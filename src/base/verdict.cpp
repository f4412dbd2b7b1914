#include "mildway/base/verdict.hpp"

#include <array>

namespace mildway {

namespace {

constexpr std::array<std::string_view, 4> kVerdicts{"comfortable", "tight", "unsafe", "unknown"};
constexpr std::array<std::string_view, 2> kSides{"cold", "warm"};
constexpr std::array<std::string_view, 2> kScales{"celsius", "fahrenheit"};

template <class Value, std::size_t N>
std::optional<Value> value_of(const std::array<std::string_view, N>& names, std::string_view name) {
    for (std::size_t i = 0; i < N; ++i) {
        if (names[i] == name) return static_cast<Value>(i);
    }
    return std::nullopt;
}

}  // namespace

std::string_view verdict_name(Verdict verdict) {
    return kVerdicts[static_cast<std::size_t>(verdict)];
}

std::string_view side_name(Side side) {
    return kSides[static_cast<std::size_t>(side)];
}

std::string_view scale_name(TemperatureScale scale) {
    return kScales[static_cast<std::size_t>(scale)];
}

std::optional<Verdict> verdict_of(std::string_view name) {
    return value_of<Verdict>(kVerdicts, name);
}

std::optional<Side> side_of(std::string_view name) {
    return value_of<Side>(kSides, name);
}

std::optional<TemperatureScale> scale_of(std::string_view name) {
    return value_of<TemperatureScale>(kScales, name);
}

}  // namespace mildway
