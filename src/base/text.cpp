#include "mildway/base/text.hpp"

#include <algorithm>

#include <simdjson.h>

namespace mildway {

std::string lower_case(std::string_view text) {
    std::string lower(text);
    for (char& c : lower) {
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    }
    return lower;
}

bool starts_character(char byte) {
    return (static_cast<unsigned char>(byte) & 0xC0U) != 0x80U;
}

bool valid_utf8(std::string_view text) {
    return simdjson::validate_utf8(text.data(), text.size());
}

std::size_t characters(std::string_view text) {
    return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), starts_character));
}

}  // namespace mildway
