// Names of an enumeration's values, which stand in files and on screen.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string_view>

namespace mildway {

/// The value of a name; `names` are in the order of the values, which count from 0. Empty when there is none.
template <class Value, std::size_t N>
[[nodiscard]] constexpr std::optional<Value> value_named(const std::array<std::string_view, N>& names,
                                                         std::string_view name) {
    for (std::size_t i = 0; i < N; ++i) {
        if (names[i] == name) return static_cast<Value>(i);
    }
    return std::nullopt;
}

}  // namespace mildway
