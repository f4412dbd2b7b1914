// The code that warnings of the US National Weather Service carry (Valid Time Event Code, NWS Instruction
// 10-1703).
#pragma once

#include "mildway/base/time.hpp"

#include <optional>
#include <string>
#include <string_view>

namespace mildway::weather {

/// "/O.CON.KPSR.XH.W.0006.000000T0000Z-260717T0300Z/"
struct Vtec {
    std::string action;             ///< NEW, CON, EXT, ..., CAN, EXP
    std::string phenomenon;         ///< two letters
    std::optional<Instant> begins;  ///< empty: already under way
    std::optional<Instant> ends;    ///< empty: until further notice

    /// Whether the code says that the event is over, called off or replaced by another.
    [[nodiscard]] bool over() const { return action == "CAN" || action == "EXP" || action == "UPG"; }
};

/// Empty when the text is not such a code (hydrologic ones, which come beside it, are not).
[[nodiscard]] std::optional<Vtec> parse_vtec(std::string_view text);

/// The two letters for a warning that carries no code, by its name: "WS" for "Winter Storm Watch". Empty when
/// the name is none of the common ones that matter to a parcel.
[[nodiscard]] std::string phenomenon_of(std::string_view event);

}  // namespace mildway::weather
