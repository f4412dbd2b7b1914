// Text in columns and paragraphs.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace mildway::reports {

inline constexpr std::size_t kColumns = 80;

/// Columns that UTF-8 text takes on screen, a character each (no wide or combining ones are used here).
[[nodiscard]] std::size_t display_width(std::string_view text);

/// Cut to `width` columns with a trailing "~", or padded with blanks on the right.
[[nodiscard]] std::string fit(std::string_view text, std::size_t width);
/// The same at the end of `line`.
void add_fitted(std::string& line, std::string_view text, std::size_t width);

/// Padded with blanks on the left.
[[nodiscard]] std::string fit_right(std::string_view text, std::size_t width);

/// Breaks at blanks so that no line passes kColumns; the first line starts with `first`, the others with as
/// many blanks. Ends with a newline.
[[nodiscard]] std::string paragraph(std::string_view first, std::string_view text);

}  // namespace mildway::reports
