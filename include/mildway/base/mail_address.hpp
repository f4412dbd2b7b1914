// An e-mail address that may be written into a message and given to a mail server.
#pragma once

#include <string_view>

namespace mildway {

/// Whether this is one bare address, "name@host.example": the dot-atom form of RFC 5321, 4.1.2 (no quoted
/// names, comments or address literals) with the lengths of its 4.5.3.1 and a host of two labels or more.
/// ASCII alone: no control character, blank, comma, angle bracket, quote or second "@" gets through.
[[nodiscard]] bool valid_address(std::string_view text);

}  // namespace mildway
