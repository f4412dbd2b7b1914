// Columns besides the fields of an order.
#pragma once

#include <string_view>

namespace mildway::orders {

inline constexpr std::string_view kNumberColumn = "number";
inline constexpr std::string_view kCountColumn = "count";
inline constexpr std::string_view kMarkColumn = "mark";
inline constexpr std::string_view kMassColumn = "mass_g";
inline constexpr std::string_view kShellColumn = "shell_mm";

}  // namespace mildway::orders
