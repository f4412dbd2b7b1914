// Small things that text needs in more than one room.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace mildway {

/// ASCII letters in lower case; all other bytes as they are.
[[nodiscard]] std::string lower_case(std::string_view text);

/// Whether a byte of UTF-8 text begins a character.
[[nodiscard]] bool starts_character(char byte);

/// Whether all of it is well-formed UTF-8.
[[nodiscard]] bool valid_utf8(std::string_view text);

/// Characters of UTF-8 text as a person counts them.
[[nodiscard]] std::size_t characters(std::string_view text);

}  // namespace mildway
