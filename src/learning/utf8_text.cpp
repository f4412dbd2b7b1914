#include "utf8_text.hpp"

namespace mildway::learning {

namespace {

constexpr std::string_view kReplacement = "\xEF\xBF\xBD";

/// Bytes of the character that begins here, 0 for none: table 3 of RFC 3629, section 4.
std::size_t length_of_character(std::string_view from) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(from[i]); };
    const unsigned first = byte(0);
    if (first < 0x80) return 1;
    const std::size_t length = first < 0xC2 ? 0 : first < 0xE0 ? 2 : first < 0xF0 ? 3 : first < 0xF5 ? 4 : 0;
    if (length == 0 || from.size() < length) return 0;
    const unsigned low = first == 0xE0 ? 0xA0 : first == 0xF0 ? 0x90 : 0x80;
    const unsigned high = first == 0xED ? 0x9F : first == 0xF4 ? 0x8F : 0xBF;
    if (byte(1) < low || byte(1) > high) return 0;
    for (std::size_t i = 2; i < length; ++i) {
        if (byte(i) < 0x80 || byte(i) > 0xBF) return 0;
    }
    return length;
}

}  // namespace

Utf8Text::Utf8Text(std::string_view bytes) : bytes_(bytes) {
    std::size_t good_from = 0;
    for (std::size_t at = 0; at < bytes.size();) {
        const std::size_t length = length_of_character(bytes.substr(at));
        if (length == 0) {
            own_.append(bytes.substr(good_from, at - good_from)).append(kReplacement);
            good_from = at + 1;
            ++replaced_;
        }
        at += length == 0 ? 1 : length;
    }
    if (replaced_ > 0) own_.append(bytes.substr(good_from));
}

}  // namespace mildway::learning
