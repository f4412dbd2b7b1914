#include "mildway/base/mail_address.hpp"

#include <algorithm>
#include <cstddef>

namespace mildway {

namespace {

// RFC 5321, 4.5.3.1: local part, and path less its two brackets; a label of a host: RFC 1035, 2.3.4
constexpr std::size_t kLongestName = 64;
constexpr std::size_t kLongestAddress = 254;
constexpr std::size_t kLongestLabel = 63;

bool is_letter_or_digit(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
}

/// `atext` of RFC 5322, 3.2.3.
bool is_atom_character(char c) {
    constexpr std::string_view kOthers = "!#$%&'*+-/=?^_`{|}~";
    return is_letter_or_digit(c) || kOthers.find(c) != std::string_view::npos;
}

bool is_label(std::string_view text) {
    return !text.empty() && text.size() <= kLongestLabel && text.front() != '-' && text.back() != '-' &&
           std::all_of(text.begin(), text.end(), [](char c) { return is_letter_or_digit(c) || c == '-'; });
}

bool is_atom(std::string_view text) {
    return !text.empty() && std::all_of(text.begin(), text.end(), is_atom_character);
}

/// How many parts there are between dots; 0 when one is not as `good` wants it.
template <class Good>
std::size_t parts(std::string_view text, Good good) {
    for (std::size_t count = 1;; ++count) {
        const std::size_t dot = text.find('.');
        if (!good(text.substr(0, dot))) return 0;
        if (dot == std::string_view::npos) return count;
        text.remove_prefix(dot + 1);
    }
}

}  // namespace

bool valid_address(std::string_view text) {
    const std::size_t at = text.find('@');
    if (at == std::string_view::npos || at > kLongestName || text.size() > kLongestAddress) return false;
    return parts(text.substr(0, at), is_atom) >= 1 && parts(text.substr(at + 1), is_label) >= 2;
}

}  // namespace mildway
