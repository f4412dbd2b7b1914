// Several places in one answer of Open-Meteo.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace mildway::weather {

/// The answers of an answer: one place is an object, several are a list of objects in the order of the
/// request. Throws WeatherError naming the answer when there are not `count`, or for what has no end.
[[nodiscard]] std::vector<std::string_view> split_open_meteo(const std::string& name, std::string_view text,
                                                             std::size_t count);

}  // namespace mildway::weather
