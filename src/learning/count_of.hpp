// A number and what there are so many of.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace mildway::learning {

/// "1 line repeats", "2 lines repeat".
[[nodiscard]] inline std::string count_of(std::size_t count, std::string_view one, std::string_view more) {
    return std::to_string(count).append(" ").append(count == 1 ? one : more);
}

}  // namespace mildway::learning
