#include "answer_headers.hpp"

#include <algorithm>
#include <charconv>
#include <ctime>
#include <string>
#include <string_view>

namespace mildway::fetch {

namespace {

/// The value of a header of the final answer, or "".
std::string header(CURL* easy, const char* name) {
    curl_header* found = nullptr;
    if (curl_easy_header(easy, name, 0, CURLH_HEADER, -1, &found) != CURLHE_OK) return {};
    return found->value;
}

std::optional<Instant> parse_http_date(const std::string& text) {
    const std::time_t time = text.empty() ? -1 : curl_getdate(text.c_str(), nullptr);
    if (time < 0) return std::nullopt;
    return Instant(seconds(time));
}

/// Delta-seconds of RFC 9111, 1.2.2: digits only; what is too large to hold counts as very large.
std::optional<seconds> parse_seconds(std::string_view text) {
    if (text.empty() || text.find_first_not_of("0123456789") != std::string_view::npos) return std::nullopt;
    constexpr long kLong = 1u << 31;  // the value that section names for it
    long value = kLong;
    std::from_chars(text.data(), text.data() + text.size(), value);
    return seconds(std::min(value, kLong));
}

/// The directives of Cache-Control, lower-case and without blanks: "public,max-age=300".
std::string directives(std::string text) {
    std::erase_if(text, [](char letter) { return letter == ' ' || letter == '\t' || letter == '"'; });
    std::transform(text.begin(), text.end(), text.begin(), [](char letter) {
        return letter >= 'A' && letter <= 'Z' ? static_cast<char>(letter + 32) : letter;
    });
    return text;
}

/// RFC 9111, 4.2.1: max-age, else Expires less Date; less the time it was in caches on the way. `s-maxage` is
/// not for us, who serve nobody else.
std::optional<seconds> fresh_for(CURL* easy, std::optional<Instant> date, seconds age) {
    const std::string control = directives(header(easy, "Cache-Control"));
    std::optional<seconds> time;
    std::string_view rest = control;
    while (!rest.empty()) {
        const std::string_view directive = rest.substr(0, rest.find(','));
        rest.remove_prefix(std::min(directive.size() + 1, rest.size()));
        if (directive.starts_with("no-cache") || directive == "no-store") return seconds(0);
        constexpr std::string_view kMaxAge = "max-age=";
        if (directive.starts_with(kMaxAge) && !time) time = parse_seconds(directive.substr(kMaxAge.size()));
    }
    const std::string expires = header(easy, "Expires");
    if (!time && !expires.empty()) {
        const auto end = parse_http_date(expires);
        if (!end) return seconds(0);  // RFC 9111, 5.3: an invalid one, such as 0, means "already"
        if (date) time = *end - *date;
    }
    if (time) time = std::max(*time - age, seconds(0));
    return time;
}

/// RFC 9110, 10.2.3: seconds or a date. A date is read against the server's own clock, not ours.
std::optional<seconds> retry_after(CURL* easy, std::optional<Instant> date) {
    const std::string text = header(easy, "Retry-After");
    if (const auto wait = parse_seconds(text)) return wait;
    const auto end = parse_http_date(text);
    if (!end || !date) return std::nullopt;
    return std::max(*end - *date, seconds(0));
}

}  // namespace

void read_headers(CURL* easy, Answer& answer) {
    answer.content_type = header(easy, "Content-Type");
    answer.etag = header(easy, "ETag");
    answer.last_modified = header(easy, "Last-Modified");
    const std::optional<Instant> date = parse_http_date(header(easy, "Date"));
    const seconds age = parse_seconds(header(easy, "Age")).value_or(seconds(0));
    if (date) answer.server_time = *date + age;
    answer.fresh_for = fresh_for(easy, date, age);
    answer.retry_after = retry_after(easy, date);
}

}  // namespace mildway::fetch
