// The calendar of a carrier in services.json -> Calendar.
#include "calendar_parts.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::transit {

namespace {

/// The holiday under `key` by its id, or a complaint about `key` with the nearest one.
const Holiday& holiday_of(const ConfigNode& node, std::string_view key, const std::string& id,
                          const Holidays& holidays) {
    return holidays.all()[node.index_of(key, "holiday", id, holidays.ids())];
}

const Holiday& read_holiday(const ConfigNode& node, std::string_view key, const Holidays& holidays) {
    return holiday_of(node, key, node.text(key), holidays);
}

/// What `closed` lists, as one holiday. Its name ends the sentence "closed on Mon 31 May (...)".
Holiday closed_by_date(std::vector<Date> dates) {
    Holiday holiday;
    holiday.id = "closed";
    holiday.name = "by its calendar";
    holiday.rule.kind = DayRule::Kind::listed;
    holiday.rule.dates = std::move(dates);
    return holiday;
}

std::vector<Holiday> read_closed(const ConfigNode& node, const Holidays& holidays) {
    std::vector<Holiday> closed;
    if (node.has("closed_on")) {
        const std::vector<std::string> ids = node.texts("closed_on");
        for (const std::string& id : ids) {
            if (std::count(ids.begin(), ids.end(), id) > 1)
                node.fail("closed_on", fmt::format("holds '{}' twice; expected each holiday once", id));
            closed.push_back(holiday_of(node, "closed_on", id, holidays));
        }
    }
    if (node.has("closed")) closed.push_back(closed_by_date(read_dates(node, "closed")));
    return closed;
}

std::vector<EarlyClosing> read_early_closings(const ConfigNode& node, const Holidays& holidays) {
    std::vector<EarlyClosing> closings;
    if (!node.has("early_closings")) return closings;
    for (const ConfigNode& entry : node.objects("early_closings")) {
        const Holiday& holiday = read_holiday(entry, "day", holidays);
        closings.push_back({holiday.name, holiday.rule, entry.clock("cut_off")});
        entry.finish();
    }
    return closings;
}

void check_length(const ConfigNode& node, const PeakWeeks& weeks) {
    for (const PeakStretch& stretch : stretches_of(weeks)) {
        if (stretch.until) continue;
        node.fail("until", fmt::format("gives no day within {} days of {}, when these weeks begin; were "
                                       "'from' and 'until' exchanged?",
                                       kLongestPeakDays, format_date(stretch.from)));
    }
}

std::vector<PeakWeeks> read_peak_weeks(const ConfigNode& node, const Holidays& holidays) {
    std::vector<PeakWeeks> all;
    if (!node.has("peak_weeks")) return all;
    for (const ConfigNode& entry : node.objects("peak_weeks")) {
        PeakWeeks weeks;
        weeks.name = entry.text("name");
        weeks.from = read_holiday(entry, "from", holidays).rule;
        weeks.until = read_holiday(entry, "until", holidays).rule;
        weeks.late_odds_factor = entry.number("late_odds_factor", {0.1, 50});
        weeks.surcharge_usd = entry.number_or("surcharge_usd", 0, {0, 1000});
        check_length(entry, weeks);
        entry.finish();
        all.push_back(std::move(weeks));
    }
    return all;
}

void check_count(const ConfigNode& node, std::string_view key, std::size_t entries) {
    if (entries <= kMostCalendarEntries) return;
    node.fail(key, fmt::format("holds {} entries; expected at most {}", entries, kMostCalendarEntries));
}

}  // namespace

std::vector<Date> read_dates(const ConfigNode& node, std::string_view key) {
    std::vector<Date> days;
    for (const std::string& text : node.texts(key)) {
        const auto day = parse_date(text);
        if (!day) node.fail(key, fmt::format("holds '{}'; expected dates like 2027-05-31", text));
        if (day->year() < kFirstCalendarYear || day->year() > kLastCalendarYear) {
            node.fail(key,
                      fmt::format("holds '{}'; expected dates from {} to {}", text,
                                  static_cast<int>(kFirstCalendarYear), static_cast<int>(kLastCalendarYear)));
        }
        if (std::find(days.begin(), days.end(), *day) != days.end())
            node.fail(key, fmt::format("holds '{}' twice; expected each date once", text));
        days.push_back(*day);
    }
    std::sort(days.begin(), days.end());
    return days;
}

Calendar read_calendar(const ConfigNode& node, const Holidays& holidays) {
    CalendarPlan plan;
    plan.closed = read_closed(node, holidays);
    check_count(node, "closed_on", plan.closed.size());
    plan.early_closings = read_early_closings(node, holidays);
    check_count(node, "early_closings", plan.early_closings.size());
    plan.peak_weeks = read_peak_weeks(node, holidays);
    check_count(node, "peak_weeks", plan.peak_weeks.size());
    return Calendar(std::move(plan));
}

WeekdaySet read_weekdays(const ConfigNode& node, std::string_view key) {
    WeekdaySet days{};
    const auto names = node.texts(key);
    if (names.empty()) node.fail(key, R"(is empty; expected at least one weekday, e.g. ["Mon", "Tue"])");
    for (const auto& name : names) days[node.index_of(key, "weekday", name, weekday_names())] = true;
    return days;
}

}  // namespace mildway::transit
