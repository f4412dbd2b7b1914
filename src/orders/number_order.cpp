#include "number_order.hpp"

#include <algorithm>
#include <cstddef>

namespace mildway::orders {

namespace {

bool is_digit(char letter) {
    return letter >= '0' && letter <= '9';
}

unsigned char folded(char letter) {
    return static_cast<unsigned char>(letter >= 'A' && letter <= 'Z' ? letter - 'A' + 'a' : letter);
}

/// Takes the digits at the front away; without leading zeros.
std::string_view take_digits(std::string_view& text) {
    const auto end = std::find_if_not(text.begin(), text.end(), is_digit);
    std::string_view digits = text.substr(0, static_cast<std::size_t>(end - text.begin()));
    text.remove_prefix(digits.size());
    digits.remove_prefix(std::min(digits.find_first_not_of('0'), digits.size()));
    return digits;
}

}  // namespace

bool number_before(std::string_view a, std::string_view b) {
    const std::string_view whole_a = a, whole_b = b;
    while (!a.empty() && !b.empty()) {
        if (is_digit(a.front()) && is_digit(b.front())) {
            const std::string_view x = take_digits(a), y = take_digits(b);
            if (x.size() != y.size()) return x.size() < y.size();
            if (x != y) return x < y;
        } else {
            if (folded(a.front()) != folded(b.front())) return folded(a.front()) < folded(b.front());
            a.remove_prefix(1);
            b.remove_prefix(1);
        }
    }
    if (a.empty() != b.empty()) return a.empty();
    return whole_a < whole_b;  // "7" and "007"
}

}  // namespace mildway::orders
