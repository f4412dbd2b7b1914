// What text of an order may hold.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace mildway::orders {

struct TextLimits {
    std::size_t characters;
    bool lines = false;  ///< whether '\n' may part it
};

/// Why this text is not taken; empty: it is. It must be UTF-8 without control characters, and without the
/// marks that turn the direction of writing or part lines unseen: they would forge what a person reads.
[[nodiscard]] std::string text_fault(std::string_view text, const TextLimits& limits);

/// Line ends as '\n', without blanks at both ends.
[[nodiscard]] std::string tidy_text(std::string_view text);

/// A figure that is told. Throws UsageError when its mark may part thousands as well as decimals ("1.200"),
/// wherever it was written: the one is a thousand times the other. Empty: it is no number.
[[nodiscard]] std::optional<double> read_figure(std::string_view text, bool decimal_comma);
/// As read_figure() takes it: 31.125 as "31.1250".
[[nodiscard]] std::string figure_text(double value);

/// Pieces between blanks, commas and semicolons.
[[nodiscard]] std::string_view next_piece(std::string_view& rest);

}  // namespace mildway::orders
