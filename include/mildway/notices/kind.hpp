// What a message to a buyer is about.
#pragma once

#include <array>
#include <optional>
#include <string_view>

namespace mildway::notices {

/// window: which days would suit. date: the day that was chosen. moved: another day than was told before.
/// taken_back: that day is off, the next is not known. handed_over: the parcel is on its way. receive: how to
/// receive it and what to do then. delay: it is late, or may be. cancelled: it will not come.
enum class Kind { window, date, moved, taken_back, handed_over, receive, delay, cancelled };

/// In the order above.
[[nodiscard]] constexpr std::array<Kind, 8> all_kinds() {
    return {Kind::window,      Kind::date,    Kind::moved, Kind::taken_back,
            Kind::handed_over, Kind::receive, Kind::delay, Kind::cancelled};
}

[[nodiscard]] std::string_view kind_name(Kind kind);  ///< "handed-over"
[[nodiscard]] std::optional<Kind> kind_of(std::string_view name);

}  // namespace mildway::notices
