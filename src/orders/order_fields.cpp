#include "mildway/orders/order_fields.hpp"

#include "mildway/base/csv.hpp"
#include "mildway/base/errors.hpp"
#include "mildway/base/mail_address.hpp"
#include "mildway/base/text.hpp"

#include "order_text.hpp"

#include <algorithm>
#include <array>

#include <fmt/format.h>

namespace mildway::orders {

namespace {

constexpr std::array<std::string_view, kFieldCount> kNames{
    "buyer",     "email",    "address", "scale", "to",       "zone", "species",
    "value_usd", "earliest", "latest",  "away",  "services", "note"};

constexpr TextLimits kName{100};
constexpr TextLimits kPlaceText{200};
constexpr TextLimits kAddress{500, true};
constexpr TextLimits kNote{2000, true};
constexpr double kLargestValueUsd = 1'000'000;
constexpr std::size_t kMostRanges = 40;

std::string checked_text(const std::string& text, const TextLimits& limits) {
    const std::string tidy = tidy_text(text);
    const std::string fault = text_fault(tidy, limits);
    if (!fault.empty()) throw UsageError(fault);
    return tidy;
}

Date read_date(std::string_view text) {
    if (const auto day = parse_date(text)) return *day;
    const bool turned = text.find_first_of("/.") != std::string_view::npos;
    throw UsageError(fmt::format("'{}' is not a date like 2027-03-01{}", text,
                                 turned ? "; if a spreadsheet rewrote it, make that column text" : ""));
}

DateRange read_range(std::string_view text) {
    const std::size_t dots = text.find("..");
    const Date from = read_date(text.substr(0, dots));
    const Date until = dots == std::string_view::npos ? from : read_date(text.substr(dots + 2));
    if (until < from)
        throw UsageError(fmt::format(
            "'{}' ends before it begins; expected FROM..UNTIL, such as 2027-03-01..2027-03-05", text));
    return {from, until};
}

/// In order; ranges that overlap or touch become one.
std::vector<DateRange> read_ranges(std::string_view text) {
    std::vector<DateRange> told;
    for (std::string_view piece = next_piece(text); !piece.empty(); piece = next_piece(text))
        told.push_back(read_range(piece));
    if (told.size() > kMostRanges)
        throw UsageError(
            fmt::format("holds {} ranges of days; expected {} at most", told.size(), kMostRanges));
    std::sort(told.begin(), told.end(),
              [](const DateRange& a, const DateRange& b) { return a.from < b.from; });
    std::vector<DateRange> ranges;
    for (const DateRange& range : told) {
        if (!ranges.empty() &&
            date::sys_days(range.from) <= date::sys_days(ranges.back().until) + date::days(1)) {
            ranges.back().until = std::max(ranges.back().until, range.until);
        } else {
            ranges.push_back(range);
        }
    }
    return ranges;
}

std::string range_text(const DateRange& range) {
    return range.from == range.until ? format_date(range.from)
                                     : format_date(range.from) + ".." + format_date(range.until);
}

template <class Items, class Text>
std::string joined(const Items& items, Text text) {
    std::string all;
    for (const auto& item : items) all += (all.empty() ? "" : " ") + text(item);
    return all;
}

TemperatureScale read_scale(const std::string& text) {
    if (const auto scale = scale_of(lower_case(text))) return *scale;
    throw UsageError(fmt::format("'{}' is no scale; expected celsius or fahrenheit", text));
}

double read_value(const std::string& text, bool decimal_comma) {
    const auto value = read_figure(text, decimal_comma);
    if (!value || *value < 0 || *value > kLargestValueUsd)
        throw UsageError(
            fmt::format("'{}' is not a number of dollars from 0 to {:.0f}", text, kLargestValueUsd));
    return *value;
}

std::string read_address(const std::string& text) {
    if (!valid_address(text))
        throw UsageError(fmt::format("'{}' is not an e-mail address like name@example.org", text));
    return text;
}

std::vector<std::string> read_services(std::string_view text, const FieldHelp& help) {
    std::vector<std::string> ids;
    for (std::string_view piece = next_piece(text); !piece.empty(); piece = next_piece(text)) {
        std::string id = help.service(std::string(piece));
        if (std::find(ids.begin(), ids.end(), id) == ids.end()) ids.push_back(std::move(id));
    }
    return ids;
}

std::optional<Date> date_or_none(const std::string& text) {
    return text.empty() ? std::nullopt : std::optional(read_date(text));
}

/// Every field but the two of the place. `text` has no blanks at its ends.
void take_field(Order& order, Field field, const std::string& text, const FieldHelp& help) {
    switch (field) {
        case Field::buyer:
            order.buyer.name = checked_text(text, kName);
            return;
        case Field::email:
            order.buyer.email = text.empty() ? "" : read_address(text);
            return;
        case Field::address:
            order.buyer.address = checked_text(text, kAddress);
            return;
        case Field::scale:
            order.buyer.scale = text.empty() ? TemperatureScale::celsius : read_scale(text);
            return;
        case Field::species:
            order.species = text.empty() ? "" : help.species(text);
            return;
        case Field::value_usd:
            order.value_usd =
                text.empty() ? std::nullopt : std::optional(read_value(text, help.decimal_comma));
            return;
        case Field::earliest:
            order.earliest_arrival = date_or_none(text);
            return;
        case Field::latest:
            order.latest_arrival = date_or_none(text);
            return;
        case Field::away:
            order.buyer_away = read_ranges(text);
            return;
        case Field::services:
            order.services = read_services(text, help);
            return;
        case Field::note:
            order.note = checked_text(text, kNote);
            return;
        case Field::to:
        case Field::zone:
            return;
    }
}

/// The place follows from two fields together.
void take_place(Order& order, const std::string* to, const std::string* zone, const FieldHelp& help) {
    if (to == nullptr && zone == nullptr) return;
    const std::string text = checked_text(to != nullptr ? *to : order.destination, kPlaceText);
    const std::string clock = zone != nullptr ? *zone : "";
    if (text.empty()) {
        order.destination.clear();
        return;
    }
    const bool known =
        text == order.destination && (zone == nullptr || clock.empty() || clock == order.place.zone);
    if (known && !help.find_again) return;
    order.place = help.place(text, clock);
    order.destination = text;
}

}  // namespace

std::string_view field_name(Field field) {
    return kNames[static_cast<std::size_t>(field)];
}

std::string field_text(const Order& order, Field field) {
    const auto day = [](const std::optional<Date>& date) { return date ? format_date(*date) : ""; };
    switch (field) {
        case Field::buyer:
            return order.buyer.name;
        case Field::email:
            return order.buyer.email;
        case Field::address:
            return order.buyer.address;
        case Field::scale:
            return std::string(scale_name(order.buyer.scale));
        case Field::to:
            return order.destination;
        case Field::zone:
            return order.place.zone;
        case Field::species:
            return order.species;
        case Field::value_usd:
            return order.value_usd ? figure_text(*order.value_usd) : "";
        case Field::earliest:
            return day(order.earliest_arrival);
        case Field::latest:
            return day(order.latest_arrival);
        case Field::away:
            return joined(order.buyer_away, range_text);
        case Field::services:
            return joined(order.services, [](const std::string& id) { return id; });
        case Field::note:
            return order.note;
    }
    return "";
}

std::vector<FieldFault> take_fields(Order& order, const FieldTexts& texts, const FieldHelp& help) {
    std::vector<FieldFault> faults;
    const auto guarded = [&](Field field, const auto& take) {
        try {
            take();
        } catch (const UsageError& error) {
            faults.push_back({std::string(field_name(field)), error.what()});
        }
    };
    const std::string* to = nullptr;
    const std::string* zone = nullptr;
    for (const auto& [field, text] : texts) {
        if (field == Field::to) to = &text;
        if (field == Field::zone) zone = &text;
        guarded(field,
                [&, f = field, &told = text] { take_field(order, f, std::string(trimmed(told)), help); });
    }
    guarded(to != nullptr ? Field::to : Field::zone, [&] { take_place(order, to, zone, help); });
    return faults;
}

std::vector<FieldFault> missing_or_torn(const Order& order) {
    std::vector<FieldFault> faults;
    if (order.destination.empty()) faults.push_back({"to", "is needed: where does the parcel go?"});
    if (order.species.empty()) faults.push_back({"species", "is needed: what animals are these?"});
    if (order.earliest_arrival && order.latest_arrival && *order.latest_arrival < *order.earliest_arrival) {
        faults.push_back(
            {"latest", fmt::format("{} is before the earliest day, {}", format_date(*order.latest_arrival),
                                   format_date(*order.earliest_arrival))});
    }
    return faults;
}

}  // namespace mildway::orders
