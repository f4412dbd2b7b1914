#include "mildway/base/time.hpp"

#include "mildway/base/errors.hpp"

#include <array>
#include <cstdint>
#include <sstream>

#include <fmt/format.h>

namespace mildway {

namespace {

/// Parses the whole of `text` by `format`, or nothing: the library alone would let trailing junk pass.
template <class T>
std::optional<T> parse_whole(std::string_view text, const char* format) {
    std::istringstream in{std::string(text)};
    in.imbue(std::locale::classic());
    T value{};
    in >> date::parse(format, value);
    if (in.fail()) return std::nullopt;
    if (in.peek() != std::char_traits<char>::eof()) return std::nullopt;
    return value;
}

constexpr std::array kMonths{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                             "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

/// Asking the zone database takes ten times as long as anything else about a leg, and the answer is the same
/// for months: each thread remembers the last one of some zones.
struct KnownOffset {
    const date::time_zone* zone = nullptr;
    Instant from;
    Instant until;
    seconds offset{0};
};

constexpr std::size_t kRemembered = 8;

KnownOffset& remembered(const date::time_zone& zone) {
    thread_local std::array<KnownOffset, kRemembered> offsets;
    return offsets[reinterpret_cast<std::uintptr_t>(&zone) / sizeof(date::time_zone) % kRemembered];
}

/// A day is kept from either end, so that civil times near a change of the clocks are asked about.
void remember(const date::time_zone& zone, const date::sys_info& info) {
    constexpr date::days kMargin{1};
    remembered(zone) = {&zone, info.begin + kMargin, info.end - kMargin, info.offset};
}

/// The offset at `when`, a UTC time or one off by less than a day.
std::optional<seconds> remembered_offset(const date::time_zone& zone, Instant when) {
    const KnownOffset& known = remembered(zone);
    if (known.zone != &zone || when < known.from || when >= known.until) return std::nullopt;
    return known.offset;
}

}  // namespace

date::local_seconds to_local(const date::time_zone& zone, Instant when) {
    if (const auto offset = remembered_offset(zone, when))
        return date::local_seconds(when.time_since_epoch() + *offset);
    const date::sys_info info = zone.get_info(when);
    remember(zone, info);
    return date::local_seconds(when.time_since_epoch() + info.offset);
}

const date::time_zone& find_zone(std::string_view name) {
    if (name.find('/') == std::string_view::npos) {
        throw UsageError(fmt::format("'{}' is not a time zone like America/Denver", name));
    }
    try {
        return *date::locate_zone(std::string(name));
    } catch (const std::runtime_error&) {
        throw UsageError(fmt::format("the system's tz database has no time zone '{}'", name));
    }
}

Instant to_instant(const date::time_zone& zone, Date day, minutes since_midnight) {
    const date::local_seconds civil = date::local_days(day) + since_midnight;
    if (const auto offset = remembered_offset(zone, Instant(civil.time_since_epoch())))
        return Instant(civil.time_since_epoch() - *offset);
    const date::local_info info = zone.get_info(civil);
    if (info.result == date::local_info::nonexistent) return info.first.end;
    if (info.result == date::local_info::unique) remember(zone, info.first);
    return Instant(civil.time_since_epoch() - info.first.offset);  // of two, the first is the earlier
}

Date local_date(const date::time_zone& zone, Instant when) {
    return Date{date::floor<date::days>(to_local(zone, when))};
}

double local_hour(const date::time_zone& zone, Instant when) {
    const auto local = to_local(zone, when);
    return in_hours(local - date::floor<date::days>(local));
}

std::optional<Instant> parse_instant(std::string_view text) {
    if (!text.empty() && text.back() == 'Z') return parse_whole<Instant>(text, "%FT%TZ");
    return parse_whole<Instant>(text, "%FT%T%Ez");
}

std::optional<Date> parse_date(std::string_view text) {
    if (text.size() != 10) return std::nullopt;
    const auto day = parse_whole<Date>(text, "%F");
    return day && day->ok() ? day : std::nullopt;
}

std::optional<minutes> parse_clock(std::string_view text) {
    const auto digit = [&](std::size_t i) { return text[i] >= '0' && text[i] <= '9'; };
    if (text.size() != 5 || text[2] != ':' || !digit(0) || !digit(1) || !digit(3) || !digit(4))
        return std::nullopt;
    const int hour = (text[0] - '0') * 10 + (text[1] - '0');
    const int minute = (text[3] - '0') * 10 + (text[4] - '0');
    if (minute > 59 || hour * 60 + minute > 24 * 60) return std::nullopt;
    return minutes{hour * 60 + minute};
}

const std::vector<std::string>& weekday_names() {
    static const std::vector<std::string> names{"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
    return names;
}

std::string format_instant(Instant when) {
    return date::format("%FT%TZ", when);
}

std::string format_date(Date day) {
    return date::format("%F", day);
}

std::string format_day(Date day) {
    return fmt::format("{} {} {}", weekday_names()[weekday_index(day)], static_cast<unsigned>(day.day()),
                       kMonths[static_cast<unsigned>(day.month()) - 1]);
}

std::string format_local(const date::time_zone& zone, Instant when) {
    return fmt::format("{} {}", format_day(local_date(zone, when)), format_local_clock(zone, when));
}

std::string format_local_clock(const date::time_zone& zone, Instant when) {
    return date::format("%H:%M", date::floor<minutes>(to_local(zone, when)));
}

std::string format_clock(minutes since_midnight) {
    return fmt::format("{:02}:{:02}", since_midnight.count() / 60, since_midnight.count() % 60);
}

}  // namespace mildway
