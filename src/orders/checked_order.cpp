#include "checked_order.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/text.hpp"

#include "order_text.hpp"

#include <cmath>
#include <string>

#include <fmt/format.h>

namespace mildway::orders {

namespace {

constexpr std::size_t kLongestNumber = 60;  // characters; it is in file names and tables
constexpr std::size_t kLongestFileName = 255;
constexpr std::size_t kLongestText = 2000;            // as a note
constexpr std::size_t kLargestLoggerFile = 4u << 20;  // as the table's own check

[[noreturn]] void refuse(const Order& order, const std::string& expectation) {
    throw UsageError(order.number.empty() ? fmt::format("the new order: {}", expectation)
                                          : fmt::format("order {}: {}", order.number, expectation));
}

bool is_control(char letter) {
    return static_cast<unsigned char>(letter) < ' ' || letter == '\x7f';
}

void check_number(const Order& order) {
    const std::string& number = order.number;
    if (number.empty()) return;
    for (const char letter : number) {
        if (is_control(letter))
            throw UsageError(
                "an order's number must not hold line breaks or other control "
                "characters");
    }
    if (number.front() == ' ' || number.back() == ' ')
        refuse(order, "its number must not begin or end with a blank");
    if (characters(number) > kLongestNumber)
        refuse(order, fmt::format("its number has more than {} characters", kLongestNumber));
}

void check_positive(const Order& order, const std::optional<double>& value, const char* what) {
    if (value && !(*value > 0 && std::isfinite(*value)))
        refuse(order, fmt::format("{} is {}; expected a number above 0", what, *value));
}

/// What is no text would end up in JSON and messages, and could not be written there.
void check_text(const Order& order, const std::string& text, const char* what, const TextLimits& limits) {
    const std::string fault = text_fault(text, limits);
    if (!fault.empty()) refuse(order, fmt::format("{} {}", what, fault));
}

void check_place(const Order& order) {
    const Place& place = order.place;
    if (!(std::abs(place.latitude_deg) <= 90))
        refuse(order, "its latitude is not between -90 and 90 degrees");
    if (!(std::abs(place.longitude_deg) <= 180))
        refuse(order, "its longitude is not between -180 and 180 degrees");
    if (place.elevation_m && !std::isfinite(*place.elevation_m))
        refuse(order, "its elevation is not a number");
}

void check_days(const Order& order) {
    if (order.earliest_arrival) check_day(*order.earliest_arrival, "the earliest arrival");
    if (order.latest_arrival) check_day(*order.latest_arrival, "the latest arrival");
    if (order.earliest_arrival && order.latest_arrival && *order.latest_arrival < *order.earliest_arrival)
        refuse(order, "its latest arrival is before its earliest");
    const DateRange* before = nullptr;
    for (const DateRange& range : order.buyer_away) {
        check_day(range.from, "a day the buyer is away");
        check_day(range.until, "a day the buyer is away");
        if (range.until < range.from)
            refuse(order, fmt::format("the buyer is away from {} until {}, which is earlier",
                                      format_date(range.from), format_date(range.until)));
        if (before != nullptr && range.from <= before->until)
            refuse(order, "the times the buyer is away must be in order and must not overlap");
        before = &range;
    }
}

}  // namespace

void check_day(const Date& day, const char* field) {
    if (!day.ok() || day.year() < date::year(0) || day.year() > date::year(9999))
        throw UsageError(fmt::format("{} is not a date of the years 0 to 9999", field));
}

void check_order(const Order& order) {
    check_number(order);
    if (order.animals.empty()) refuse(order, "has no animals; expected at least one");
    for (const Animal& animal : order.animals) {
        check_positive(order, animal.mass_g, "the mass of an animal in g");
        check_positive(order, animal.shell_mm, "the shell of an animal in mm");
    }
    if (order.value_usd && !(*order.value_usd >= 0 && std::isfinite(*order.value_usd)))
        refuse(order, "its value is not 0 or more");
    check_place(order);
    check_days(order);
}

void check_reason(const Order& order, const std::string& why) {
    check_text(order, why, "the reason", {kLongestText, true});
}

void check_outcome(const Order& order, const Outcome& outcome) {
    const auto animals = static_cast<int>(order.animals.size());
    if (outcome.alive < 0 || outcome.alive > animals)
        refuse(order, fmt::format("{} alive of {} animals cannot be", outcome.alive, animals));
    if (outcome.well < 0 || outcome.well > outcome.alive)
        refuse(order, fmt::format("{} well of {} alive cannot be", outcome.well, outcome.alive));
    if (outcome.inside_c && !std::isfinite(*outcome.inside_c))
        refuse(order, "the temperature in the box is not a number");
    check_text(order, outcome.logger_name, "the name of the logger's file", {kLongestFileName});
    check_text(order, outcome.note, "the note", {kLongestText, true});
    if (outcome.logger_bytes.size() > kLargestLoggerFile)
        refuse(order, fmt::format("the logger's file {} is larger than 4 MB", outcome.logger_name));
}

}  // namespace mildway::orders
