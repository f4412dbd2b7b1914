#include "logger_stamp.hpp"

#include "mildway/base/csv.hpp"
#include "mildway/base/errors.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>

#include <fmt/format.h>

namespace mildway::learning {

namespace {

constexpr int kEarliestYear = 2000;
constexpr int kLatestYear = 2099;
// A log that runs on has no such step; read in the wrong order, its next day is a month away.
constexpr date::days kLeap{20};

constexpr std::array<std::string_view, 12> kMonthNames{"jan", "feb", "mar", "apr", "may", "jun",
                                                       "jul", "aug", "sep", "oct", "nov", "dec"};

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/// Reads a text from the left.
class Scanner {
public:
    explicit Scanner(std::string_view text) {
        for (const char c : trimmed(text))
            text_ += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    }

    [[nodiscard]] bool done() const { return at_ == text_.size(); }
    [[nodiscard]] char peek() const { return done() ? '\0' : text_[at_]; }

    bool take(std::string_view word) {
        if (text_.compare(at_, word.size(), word) != 0) return false;
        at_ += word.size();
        return true;
    }
    /// One to `most` digits; `length` says how many there were.
    std::optional<int> number(std::size_t most, std::size_t& length) {
        int value = 0;
        length = 0;
        while (length <= most && is_digit(peek())) {
            value = value * 10 + (text_[at_++] - '0');
            ++length;
        }
        return length == 0 || length > most ? std::nullopt : std::optional(value);
    }
    std::optional<int> number(std::size_t most) {
        std::size_t length = 0;
        return number(most, length);
    }
    std::optional<int> month_name() {
        for (std::size_t i = 0; i < kMonthNames.size(); ++i) {
            if (take(kMonthNames.at(i))) {
                while (std::isalpha(static_cast<unsigned char>(peek())) != 0) ++at_;
                return static_cast<int>(i) + 1;
            }
        }
        return std::nullopt;
    }
    void skip_digits() {
        while (is_digit(peek())) ++at_;
    }
    void skip_blanks() {
        while (take(" ")) {
        }
    }

private:
    std::string text_;
    std::size_t at_ = 0;
};

/// Two-digit years are of this century, and not taken with a dash: 27-03-01 could be either way round.
std::optional<int> last_year(Scanner& in, char separator) {
    std::size_t length = 0;
    const auto year = in.number(4, length);
    if (!year || (length != 4 && (length != 2 || separator == '-'))) return std::nullopt;
    return length == 2 ? 2000 + *year : *year;
}

bool read_named_month(Scanner& in, Stamp& stamp, int day, char separator) {
    const auto month = in.month_name();
    if (!month || !in.take(std::string_view(&separator, 1))) return false;
    const auto year = last_year(in, separator == '-' ? ' ' : separator);  // the name tells the order
    if (!year) return false;
    stamp.year = *year;
    stamp.first = *month;
    stamp.second = day;
    stamp.order_is_clear = true;
    return true;
}

bool read_date(Scanner& in, Stamp& stamp) {
    std::size_t length = 0;
    const auto a = in.number(4, length);
    const char separator = in.peek();
    if (!a || length == 3 || std::string_view("-/. ").find(separator) == std::string_view::npos) return false;
    (void)in.take(std::string_view(&separator, 1));
    if (length < 3 && std::isalpha(static_cast<unsigned char>(in.peek())) != 0)
        return read_named_month(in, stamp, *a, separator);
    const auto b = in.number(2);
    if (!b || separator == ' ' || !in.take(std::string_view(&separator, 1))) return false;
    stamp.order_is_clear = length == 4;
    stamp.day_comes_first = separator == '.';
    const auto c = stamp.order_is_clear ? in.number(2) : last_year(in, separator);
    if (!c) return false;
    stamp.year = stamp.order_is_clear ? *a : *c;
    stamp.first = stamp.order_is_clear ? *b : *a;
    stamp.second = stamp.order_is_clear ? *c : *b;
    return true;
}

bool read_clock(Scanner& in, Stamp& stamp) {
    auto hour = in.number(2);
    if (!hour || !in.take(":")) return false;
    std::size_t length = 0;
    const auto minute = in.number(2, length);
    if (!minute || length != 2 || *minute > 59) return false;
    int second = 0;
    if (in.take(":")) {
        const auto given = in.number(2, length);
        if (!given || length != 2 || *given > 59) return false;
        second = *given;
        if (in.take(".") || in.take(",")) in.skip_digits();
    }
    in.skip_blanks();
    const bool am = in.take("am") || in.take("a.m.");
    const bool pm = !am && (in.take("pm") || in.take("p.m."));
    if (am || pm) {
        if (*hour < 1 || *hour > 12) return false;
        hour = *hour % 12 + (pm ? 12 : 0);
    }
    if (*hour > 23) return false;
    stamp.clock = hours(*hour) + minutes(*minute) + seconds(second);
    return true;
}

bool read_offset(Scanner& in, Stamp& stamp) {
    in.skip_blanks();
    if (in.done()) return true;
    const bool utc = in.take("z") || in.take("utc") || in.take("gmt");
    if (utc && in.done()) {
        stamp.offset = seconds(0);
        return true;
    }
    const int sign = in.take("+") ? 1 : in.take("-") ? -1 : 0;
    std::size_t length = 0;
    const auto hour = in.number(4, length);
    if (sign == 0 || !hour || length == 3) return false;
    int whole_hours = length == 4 ? *hour / 100 : *hour;
    int minutes_more = length == 4 ? *hour % 100 : 0;
    if (length < 4 && in.take(":")) {
        const auto minute = in.number(2);
        if (!minute) return false;
        minutes_more = *minute;
    }
    const int total = whole_hours * 60 + minutes_more;
    stamp.offset = minutes(sign * total);
    return in.done() && minutes_more < 60 && total <= 14 * 60;
}

Date date_of(const Stamp& stamp, DateOrder order) {
    const bool month_first = stamp.order_is_clear || order == DateOrder::month_first;
    return date::year(stamp.year) / (month_first ? stamp.first : stamp.second) /
           (month_first ? stamp.second : stamp.first);
}

bool allows(const Stamp& stamp, DateOrder order) {
    return date_of(stamp, order).ok();
}

/// Longest step from one reading to the next, in days of the calendar.
date::days longest_step(const std::vector<Stamp>& stamps, DateOrder order) {
    date::days longest{0};
    for (std::size_t i = 1; i < stamps.size(); ++i) {
        const auto step =
            date::sys_days(date_of(stamps[i], order)) - date::sys_days(date_of(stamps[i - 1], order));
        longest = std::max(longest, date::days(std::abs(step.count())));
    }
    return longest;
}

[[noreturn]] void refuse_both(const std::string& file, const Stamp& month_first, const Stamp& day_first) {
    const bool month_is_later = month_first.line > day_first.line;
    throw InputError(
        file, "", std::max(day_first.line, month_first.line),
        fmt::format("is a date with the {} first, line {} one with the {} first; expected one order",
                    month_is_later ? "month" : "day", std::min(day_first.line, month_first.line),
                    month_is_later ? "day" : "month"));
}

/// Which order a file follows whose dates do not all say so.
DateOrder settle_order(const std::string& file, const std::vector<Stamp>& stamps,
                       std::vector<std::string>& findings) {
    const auto forbids = [&](DateOrder order) {
        return std::find_if(stamps.begin(), stamps.end(), [&](const Stamp& s) { return !allows(s, order); });
    };
    for (const Stamp& stamp : stamps) {
        if (!allows(stamp, DateOrder::day_first) && !allows(stamp, DateOrder::month_first))
            throw InputError(file, "", stamp.line, "has a date that is not in the calendar");
    }
    const auto no_day_first = forbids(DateOrder::day_first);
    const auto no_month_first = forbids(DateOrder::month_first);
    if (no_day_first != stamps.end() && no_month_first != stamps.end())
        refuse_both(file, *no_day_first, *no_month_first);
    if (no_day_first != stamps.end()) return DateOrder::month_first;
    if (no_month_first != stamps.end()) return DateOrder::day_first;
    if (stamps.front().day_comes_first) return DateOrder::day_first;
    const bool leaps_day_first = longest_step(stamps, DateOrder::day_first) >= kLeap;
    const bool leaps_month_first = longest_step(stamps, DateOrder::month_first) >= kLeap;
    if (leaps_day_first == leaps_month_first) {
        throw InputError(
            file, "", stamps.front().line,
            "is a date that can be read with the day or the month first, and nothing in the file "
            "settles it; say --dates day-first or --dates month-first");
    }
    findings.push_back(
        fmt::format("dates are read with the {} first: the other way round the log would leap "
                    "by weeks",
                    leaps_day_first ? "month" : "day"));
    return leaps_day_first ? DateOrder::month_first : DateOrder::day_first;
}

}  // namespace

std::optional<Stamp> parse_stamp(std::string_view text) {
    Scanner in(text);
    Stamp stamp;
    if (!read_date(in, stamp)) return std::nullopt;
    if (!in.take("t")) {
        (void)in.take(",");
        if (in.peek() != ' ') return std::nullopt;
        in.skip_blanks();
    }
    if (!read_clock(in, stamp) || !read_offset(in, stamp)) return std::nullopt;
    return stamp;
}

std::vector<date::local_seconds> civil_times(const std::string& file, const std::vector<Stamp>& stamps,
                                             std::optional<DateOrder> dates,
                                             std::vector<std::string>& findings) {
    const bool all_clear =
        std::all_of(stamps.begin(), stamps.end(), [](const Stamp& s) { return s.order_is_clear; });
    const DateOrder order = dates       ? *dates
                            : all_clear ? DateOrder::month_first
                                        : settle_order(file, stamps, findings);
    std::vector<date::local_seconds> times;
    times.reserve(stamps.size());
    for (const Stamp& stamp : stamps) {
        if (stamp.year < kEarliestYear || stamp.year > kLatestYear) {
            throw InputError(file, "", stamp.line,
                             fmt::format("is of the year {}; expected {} to {}: was the logger's clock set?",
                                         stamp.year, kEarliestYear, kLatestYear));
        }
        const Date day = date_of(stamp, order);
        if (!day.ok()) {
            throw InputError(file, "", stamp.line,
                             fmt::format("has a date that is not in the calendar{}",
                                         dates ? ", read as --dates says" : ""));
        }
        times.push_back(date::local_days(day) + stamp.clock);
    }
    return times;
}

}  // namespace mildway::learning
