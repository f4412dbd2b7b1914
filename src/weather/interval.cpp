#include "mildway/weather/gridpoint.hpp"

#include <stdexcept>

#include <fmt/format.h>

namespace mildway::weather {

namespace {

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

[[noreturn]] void refuse_duration(std::string_view text, std::string_view reason) {
    throw std::invalid_argument(fmt::format("'{}' is not a duration like PT6H or P1DT3H: {}", text, reason));
}

/// What one unit of a designator lasts, and its rank: designators must come in falling order.
struct Designator {
    seconds length;
    int rank;
};

Designator designator_of(std::string_view text, char letter, bool in_clock_part) {
    if (!in_clock_part) {
        if (letter == 'W') return {hours(7 * 24), 5};
        if (letter == 'D') return {hours(24), 4};
        if (letter == 'Y' || letter == 'M') refuse_duration(text, "years and months have no fixed length");
    } else {
        if (letter == 'H') return {hours(1), 3};
        if (letter == 'M') return {minutes(1), 2};
        if (letter == 'S') return {seconds(1), 1};
    }
    refuse_duration(text, fmt::format("'{}' is not expected there", letter));
}

int two_digits(std::string_view text, std::size_t at) {
    return (text[at] - '0') * 10 + (text[at + 1] - '0');
}

/// The one form the service writes, "2027-03-01T06:00:00+00:00", twenty times faster than the general reader,
/// which takes everything else (a file holds some 400 of them in the layers that are read).
std::optional<Instant> read_instant(std::string_view text) {
    constexpr std::string_view kForm = "0000-00-00T00:00:00+00:00";
    bool usual = text.size() == kForm.size() && text.substr(19) == kForm.substr(19);
    for (std::size_t i = 0; usual && i < 19; ++i) {
        usual = kForm[i] == '0' ? is_digit(text[i]) : text[i] == kForm[i];
    }
    if (!usual) return parse_instant(text);
    const date::year_month_day day{date::year(two_digits(text, 0) * 100 + two_digits(text, 2)),
                                   date::month(static_cast<unsigned>(two_digits(text, 5))),
                                   date::day(static_cast<unsigned>(two_digits(text, 8)))};
    const int hour = two_digits(text, 11);
    const int minute = two_digits(text, 14);
    const int second = two_digits(text, 17);
    if (!day.ok() || hour > 23 || minute > 59 || second > 59) return std::nullopt;
    return date::sys_days(day) + hours(hour) + minutes(minute) + seconds(second);
}

}  // namespace

seconds parse_duration(std::string_view text) {
    constexpr std::size_t kMostDigits = 6;  // keeps sums far from overflow; no forecast lasts longer
    if (text.empty() || text.front() != 'P') refuse_duration(text, "it must begin with P");
    seconds total{0};
    int last_rank = 6;
    bool in_clock_part = false;
    std::size_t i = 1;
    while (i < text.size()) {
        if (text[i] == 'T' && !in_clock_part) {
            in_clock_part = true;
            ++i;
            continue;
        }
        const std::size_t first = i;
        int count = 0;
        while (i < text.size() && is_digit(text[i]) && i - first < kMostDigits)
            count = count * 10 + (text[i++] - '0');
        if (i == first || i == text.size()) refuse_duration(text, "expected a whole number and a letter");
        const Designator designator = designator_of(text, text[i++], in_clock_part);
        if (designator.rank >= last_rank) refuse_duration(text, "its parts are not in order");
        last_rank = designator.rank;
        total += count * designator.length;
    }
    if (last_rank == 6 || text.back() == 'T') refuse_duration(text, "it ends early");
    return total;
}

Interval parse_interval(std::string_view text) {
    const auto refuse = [&](std::string_view reason) {
        throw std::invalid_argument(
            fmt::format("'{}' is not an interval like 2027-03-01T06:00:00+00:00/PT6H: {}", text, reason));
    };
    const std::size_t slash = text.find('/');
    if (slash == std::string_view::npos) refuse("there is no '/'");
    const auto start = read_instant(text.substr(0, slash));
    if (!start) refuse("what stands before the '/' is not a time with its offset");
    const std::string_view rest = text.substr(slash + 1);
    Interval interval{*start, seconds{0}};
    if (!rest.empty() && rest.front() == 'P') {
        interval.length = parse_duration(rest);
    } else {
        const auto end = read_instant(rest);
        if (!end) refuse("what stands after the '/' is neither a duration nor a time");
        interval.length = *end - *start;
    }
    if (interval.length <= seconds{0}) refuse("it must last longer than nothing");
    return interval;
}

}  // namespace mildway::weather
