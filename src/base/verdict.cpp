#include "mildway/base/verdict.hpp"

#include "mildway/base/names.hpp"

#include <array>

namespace mildway {

namespace {

constexpr std::array<std::string_view, 4> kVerdicts{"comfortable", "tight", "unsafe", "unknown"};
constexpr std::array<std::string_view, 2> kSides{"cold", "warm"};
constexpr std::array<std::string_view, 2> kScales{"celsius", "fahrenheit"};

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
    return value_named<Verdict>(kVerdicts, name);
}

std::optional<Side> side_of(std::string_view name) {
    return value_named<Side>(kSides, name);
}

std::optional<TemperatureScale> scale_of(std::string_view name) {
    return value_named<TemperatureScale>(kScales, name);
}

}  // namespace mildway
