#include "mildway/transit/day_rule.hpp"

#include "calendar_parts.hpp"

#include <algorithm>
#include <optional>

#include <fmt/format.h>

namespace mildway::transit {

namespace {

constexpr int kMostPlusDays = 30;

/// Before plus_days and the shift from weekends; empty where the year has no such day.
std::optional<date::sys_days> named_day(const DayRule& rule, date::year year) {
    if (rule.kind == DayRule::Kind::fixed) {
        const Date day = year / rule.month / rule.day;
        if (!day.ok()) return std::nullopt;
        return date::sys_days(day);
    }
    if (rule.nth == -1) return date::sys_days(year / rule.month / rule.weekday[date::last]);
    const auto day = year / rule.month / rule.weekday[static_cast<unsigned>(rule.nth)];
    if (!day.ok()) return std::nullopt;
    return date::sys_days(day);
}

date::sys_days as_observed(date::sys_days day, Observed observed) {
    const date::weekday weekday(day);
    if (weekday == date::Sunday && observed != Observed::as_it_falls) return day + date::days{1};
    if (weekday == date::Saturday && observed == Observed::nearest_weekday) return day - date::days{1};
    return day;
}

date::weekday read_weekday(const ConfigNode& node) {
    const std::size_t index = node.index_of("weekday", "weekday", node.text("weekday"), weekday_names());
    return date::weekday(static_cast<unsigned>(index));
}

void read_fixed(const ConfigNode& node, DayRule& rule) {
    // the longest that the month can be: 29 February is a day of leap years
    const unsigned longest = static_cast<unsigned>((date::year{2028} / rule.month / date::last).day());
    rule.day = date::day(static_cast<unsigned>(node.whole("day", 1, static_cast<int>(longest))));
}

void read_nth(const ConfigNode& node, DayRule& rule) {
    rule.kind = DayRule::Kind::nth_weekday;
    rule.weekday = read_weekday(node);
    rule.nth = node.whole("nth", -1, 5);
    if (rule.nth == 0) node.fail("nth", "is 0; expected 1 to 5, or -1 for the last of the month");
}

void read_listed(const ConfigNode& node, DayRule& rule) {
    rule.kind = DayRule::Kind::listed;
    rule.dates = read_dates(node, "dates");
    if (rule.dates.empty())
        node.fail("dates", R"(is empty; expected at least one date, e.g. ["2027-05-31"])");
    for (const char* key : {"plus_days", "observed"}) {
        if (node.has(key)) node.fail(key, "does not go with 'dates', which are the days as they are kept");
    }
}

}  // namespace

std::vector<Date> kept_days(const DayRule& rule, date::year year) {
    std::vector<Date> kept;
    if (rule.kind == DayRule::Kind::listed) {
        std::copy_if(rule.dates.begin(), rule.dates.end(), std::back_inserter(kept),
                     [&](Date day) { return day.year() == year; });
    } else if (const auto day = named_day(rule, year)) {
        kept.emplace_back(as_observed(*day + date::days{rule.plus_days}, rule.observed));
    }
    return kept;
}

DayRule read_day_rule(const ConfigNode& node) {
    const bool listed = node.has("dates");
    const bool fixed = node.has("day");
    const bool nth = node.has("weekday") || node.has("nth");
    const bool of_month = node.has("month");
    const bool one_alone = listed ? !(fixed || nth || of_month) : !(fixed && nth);
    if (!one_alone || !(listed || fixed || nth || of_month)) {
        node.fail("", "expected one of: 'month' and 'day'; 'month', 'weekday' and 'nth'; or 'dates'");
    }
    DayRule rule;
    if (listed) {
        read_listed(node, rule);
        return rule;
    }
    rule.month = date::month(static_cast<unsigned>(node.whole("month", 1, 12)));
    nth ? read_nth(node, rule) : read_fixed(node, rule);
    rule.plus_days = node.whole_or("plus_days", 0, -kMostPlusDays, kMostPlusDays);
    if (node.has("observed")) {
        rule.observed = static_cast<Observed>(
            node.choice("observed", {"as-it-falls", "nearest-weekday", "sunday-to-monday"}));
    }
    return rule;
}

Holidays Holidays::read(const ConfigNode& node) {
    Holidays holidays;
    for (const ConfigNode& entry : node.objects("holidays")) {
        Holiday holiday;
        holiday.id = entry.text("id");
        if (holidays.find(holiday.id) != nullptr)
            entry.fail("id", fmt::format("is '{}' a second time; expected each id once", holiday.id));
        holiday.name = entry.text("name");
        holiday.rule = read_day_rule(entry);
        holiday.source = entry.text("source");
        entry.finish();
        holidays.all_.push_back(std::move(holiday));
    }
    node.finish();
    return holidays;
}

std::vector<std::string> Holidays::ids() const {
    std::vector<std::string> ids;
    ids.reserve(all_.size());
    for (const Holiday& holiday : all_) ids.push_back(holiday.id);
    return ids;
}

const Holiday* Holidays::find(const std::string& id) const {
    const auto found = std::find_if(all_.begin(), all_.end(), [&](const Holiday& h) { return h.id == id; });
    return found == all_.end() ? nullptr : &*found;
}

}  // namespace mildway::transit
