// How a shipment looks, in the words that orders, plans and messages share.
#pragma once

#include <optional>
#include <string_view>

namespace mildway {

/// From best to worst; unknown: no usable weather.
enum class Verdict { comfortable, tight, unsafe, unknown };
/// Of the risk.
enum class Side { cold, warm };

[[nodiscard]] std::string_view verdict_name(Verdict verdict);
[[nodiscard]] std::string_view side_name(Side side);
/// Empty when there is none of that name.
[[nodiscard]] std::optional<Verdict> verdict_of(std::string_view name);
[[nodiscard]] std::optional<Side> side_of(std::string_view name);

/// What a person reads temperatures in.
enum class TemperatureScale { celsius, fahrenheit };

[[nodiscard]] std::string_view scale_name(TemperatureScale scale);
[[nodiscard]] std::optional<TemperatureScale> scale_of(std::string_view name);

}  // namespace mildway
