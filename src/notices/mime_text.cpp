#include "mime_text.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/mail_address.hpp"
#include "mildway/base/text.hpp"

#include <algorithm>
#include <stdexcept>

#include <fmt/format.h>

namespace mildway::notices {

namespace {

constexpr std::string_view kBase64 = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

bool is_control(char c) {
    return static_cast<unsigned char>(c) < 0x20 || c == 0x7f;
}

bool is_ascii(std::string_view text) {
    return std::all_of(text.begin(), text.end(), [](char c) { return static_cast<unsigned char>(c) < 0x80; });
}

std::string base64(std::string_view bytes) {
    std::string text;
    for (std::size_t i = 0; i < bytes.size(); i += 3) {
        unsigned long group = 0;
        for (std::size_t k = 0; k < 3; ++k)
            group = group << 8 | (i + k < bytes.size() ? static_cast<unsigned char>(bytes[i + k]) : 0u);
        for (std::size_t k = 0; k < 4; ++k)
            text += i + k > bytes.size() ? '=' : kBase64[group >> (18 - 6 * k) & 63];
    }
    return text;
}

/// The characters of UTF-8 text, each with its bytes.
std::vector<std::string_view> characters_of(std::string_view text) {
    std::vector<std::string_view> all;
    for (std::size_t begin = 0; begin < text.size();) {
        std::size_t end = begin + 1;
        while (end < text.size() && !starts_character(text[end])) ++end;
        all.push_back(text.substr(begin, end - begin));
        begin = end;
    }
    return all;
}

/// RFC 2047: each word whole characters, at most 75 long.
std::vector<std::string> encoded_words(std::string_view text) {
    constexpr std::size_t kBytes =
        39;  // 52 letters in base64, 64 with "=?UTF-8?B?" and "?="; "Subject: " fits before
    std::vector<std::string> words;
    std::string piece;
    for (const std::string_view character : characters_of(text)) {
        if (piece.size() + character.size() > kBytes) {
            words.push_back("=?UTF-8?B?" + base64(piece) + "?=");
            piece.clear();
        }
        piece += character;
    }
    words.push_back("=?UTF-8?B?" + base64(piece) + "?=");
    return words;
}

void check_text(std::string_view what, std::string_view text) {
    if (std::any_of(text.begin(), text.end(), is_control)) {
        throw UsageError(
            fmt::format("{} holds a line end or another control character; expected one line of text", what));
    }
    const bool utf8 = valid_utf8(text);
    if (!utf8) throw UsageError(fmt::format("{} is not UTF-8 text", what));
}

std::vector<std::string> split_words(std::string_view text) {
    std::vector<std::string> words;
    for (std::size_t at = text.find_first_not_of(' '); at != std::string_view::npos;) {
        const std::size_t end = std::min(text.find(' ', at), text.size());
        words.emplace_back(text.substr(at, end - at));
        at = text.find_first_not_of(' ', end);
    }
    return words;
}

/// Whether words can stand as they are: nothing that a reader would decode, no word too long for a line, no
/// run of blanks that folding would lose.
constexpr std::size_t kLongestWord = 60;

bool plain(std::string_view text) {
    if (!is_ascii(text) || text.find("=?") != std::string_view::npos || text.empty() || text.front() == ' ' ||
        text.back() == ' ' || text.find("  ") != std::string_view::npos)
        return false;
    const auto words = split_words(text);
    return std::all_of(words.begin(), words.end(),
                       [](const auto& word) { return word.size() <= kLongestWord; });
}

bool is_atom_text(char c) {
    return std::isalnum(static_cast<unsigned char>(c)) != 0 ||
           std::string_view("!#$%&'*+-/=?^_`{|}~").find(c) != std::string_view::npos;
}

std::string quoted(std::string_view text) {
    std::string out = "\"";
    for (const char c : text) {
        if (c == '"' || c == '\\') out += '\\';
        out += c;
    }
    return out + '"';
}

/// How a byte is written in quoted-printable at its place in the line.
std::string quoted_byte(std::string_view line, std::size_t at) {
    const char c = line[at];
    const bool last = at + 1 == line.size();
    const bool blank = c == ' ' || c == '\t';
    const bool first_dot = at == 0 && (c == '.' || line.starts_with("From "));
    if ((is_control(c) && c != '\t') || static_cast<unsigned char>(c) >= 0x80 || c == '=' ||
        (blank && last) || first_dot)
        return fmt::format("={:02X}", static_cast<unsigned char>(c));
    return {c};
}

}  // namespace

std::string quoted_printable(std::string_view text) {
    std::string out;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        std::string_view line = text.substr(0, end);
        text.remove_prefix(std::min(end + 1, text.size()));
        if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
        std::size_t width = 0;
        for (std::size_t i = 0; i < line.size(); ++i) {
            std::string piece = quoted_byte(line, i);
            if (width + piece.size() > kMailLine - 1) {  // room for the "=" of a soft break
                out += "=\r\n";
                width = 0;
                if (piece == ".") piece = "=2E";
            }
            out += piece;
            width += piece.size();
        }
        out += "\r\n";
    }
    return out;
}

std::string base64_lines(std::string_view bytes) {
    const std::string all = base64(bytes);
    std::string out;
    for (std::size_t at = 0; at < all.size(); at += kMailLine) out += all.substr(at, kMailLine) + "\r\n";
    return out;
}

std::vector<std::string> header_words(std::string_view what, std::string_view text) {
    check_text(what, text);
    return plain(text) ? split_words(text) : encoded_words(text);
}

std::vector<std::string> mailbox_words(std::string_view what, std::string_view name,
                                       std::string_view address) {
    constexpr std::size_t kLongestQuoted = 60;
    check_text(what, name);
    if (!valid_address(address))
        throw UsageError(fmt::format("{}: '{}' is no e-mail address that can be written to", what, address));
    std::vector<std::string> words;
    const bool atoms =
        std::all_of(name.begin(), name.end(), [](char c) { return c == ' ' || is_atom_text(c); });
    if (name.empty()) return {fmt::format("<{}>", address)};
    if (!plain(name) || (!atoms && name.size() > kLongestQuoted)) {
        words = encoded_words(name);
    } else if (atoms) {
        words = split_words(name);
    } else {
        words = split_words(quoted(name));
    }
    words.push_back(fmt::format("<{}>", address));
    return words;
}

std::string header_line(std::string_view name, const std::vector<std::string>& words) {
    std::string out(name);
    out += ':';
    std::size_t width = out.size();
    for (const std::string& word : words) {
        if (std::any_of(word.begin(), word.end(), [](char c) { return is_control(c) || c == ' '; }))
            throw std::logic_error("a word of a mail header holds a blank or control character");
        const bool fold = width + 1 + word.size() > kMailLine && width > name.size() + 1;
        out += fold ? "\r\n " : " ";
        width = (fold ? 0 : width) + 1 + word.size();
        out += word;
    }
    return out + "\r\n";
}

}  // namespace mildway::notices
