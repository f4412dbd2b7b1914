#include "wrap.hpp"

#include "mildway/base/text.hpp"

#include <algorithm>

namespace mildway::notices {

namespace {

constexpr std::size_t kColumns = 72;  // RFC 3676 4.2 says 78 at most; what is quoted grows by a few

std::string wrapped_line(std::string_view line) {
    const std::size_t blanks = std::min(line.find_first_not_of(' '), line.size());
    const std::size_t hang = blanks + (line.substr(blanks).starts_with("- ") ? 2 : 0);
    std::string out(line.substr(0, hang));
    std::size_t width = hang;
    bool first = true;
    for (std::size_t at = line.find_first_not_of(' ', hang); at != std::string_view::npos;) {
        const std::size_t end = std::min(line.find(' ', at), line.size());
        const std::string_view word = line.substr(at, end - at);
        if (!first && width + 1 + characters(word) > kColumns) {
            out += '\n' + std::string(hang, ' ');
            width = hang;
        } else if (!first) {
            out += ' ';
            ++width;
        }
        out += word;
        width += characters(word);
        first = false;
        at = line.find_first_not_of(' ', end);
    }
    return out;
}

}  // namespace

std::string wrapped(std::string_view text) {
    std::string out;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        std::string_view line = text.substr(0, end);
        text.remove_prefix(std::min(end + 1, text.size()));
        const auto last = line.find_last_not_of(" \t\r");
        line = last == std::string_view::npos ? std::string_view{} : line.substr(0, last + 1);
        const bool empty_again = line.empty() && (out.empty() || out.ends_with("\n\n"));
        if (!empty_again) out += wrapped_line(line) + '\n';
    }
    while (out.ends_with("\n\n")) out.pop_back();
    return out;
}

}  // namespace mildway::notices
