// Lines short enough for any mail reader.
#pragma once

#include <string>
#include <string_view>

namespace mildway::notices {

/// Breaks lines of more than 72 characters at blanks; what follows a "- " or blanks at the beginning of a
/// line stays under it. Ends with one line end; no more than one empty line in a row.
[[nodiscard]] std::string wrapped(std::string_view text);

}  // namespace mildway::notices
