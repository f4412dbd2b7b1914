// Text as mail can carry it: encodings of bodies, words and header lines.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace mildway::notices {

/// Longest line of a body or header (RFC 5322 2.1.1 asks for 78 at most, RFC 2045 for 76).
inline constexpr std::size_t kMailLine = 76;

/// RFC 2045 6.7. Lines end in LF or CRLF; CRLF comes out, with one at the end. A line never begins with a dot
/// or with "From ", which some servers change.
[[nodiscard]] std::string quoted_printable(std::string_view text);

/// RFC 2045 6.8, in lines of 76 with CRLF.
[[nodiscard]] std::string base64_lines(std::string_view bytes);

/// Words of free text for a header: as they are when they are plain, else as RFC 2047 encoded words.
/// UsageError when it holds a control character or is not UTF-8; `what` names it.
[[nodiscard]] std::vector<std::string> header_words(std::string_view what, std::string_view text);

/// A display name with its address: words to be joined. UsageError as above, or when the address is wrong.
[[nodiscard]] std::vector<std::string> mailbox_words(std::string_view what, std::string_view name,
                                                     std::string_view address);

/// "Name: word word", folded between words where a line would grow too long, with CRLF. Throws
/// std::logic_error when a word holds a control character or blank: nothing unchecked gets into a header.
[[nodiscard]] std::string header_line(std::string_view name, const std::vector<std::string>& words);

}  // namespace mildway::notices
