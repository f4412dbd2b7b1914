#include "mildway/transit/calendar.hpp"

#include "calendar_parts.hpp"

#include <stdexcept>

namespace mildway::transit {

namespace {

constexpr date::sys_days kFirstDay{kFirstCalendarYear / date::January / 1};
constexpr date::sys_days kEndDay{(kLastCalendarYear + date::years{1}) / date::January / 1};

/// Calls `visit` with each year whose kept days can lie in the calendar: rules reach into the neighbours.
template <class Visit>
void each_year(Visit visit) {
    for (date::year year = kFirstCalendarYear - date::years{1}; year <= kLastCalendarYear + date::years{1};
         ++year) {
        visit(year);
    }
}

std::optional<date::sys_days> first_kept(const DayRule& rule, date::year year) {
    const std::vector<Date> kept = kept_days(rule, year);
    if (kept.empty()) return std::nullopt;
    return date::sys_days(kept.front());
}

/// The nearest last day on or after `from`, the first day of the year `year`.
std::optional<date::sys_days> last_day(const PeakWeeks& weeks, date::sys_days from, date::year year) {
    for (int further = -1; further <= 1; ++further) {
        const auto until = first_kept(weeks.until, year + date::years{further});
        if (until && *until >= from && *until - from <= date::days{kLongestPeakDays}) return until;
    }
    return std::nullopt;
}

std::uint8_t number_of(std::size_t index) {
    return static_cast<std::uint8_t>(index + 1);
}

}  // namespace

std::vector<PeakStretch> stretches_of(const PeakWeeks& weeks) {
    std::vector<PeakStretch> stretches;
    each_year([&](date::year year) {
        const auto from = first_kept(weeks.from, year);
        if (from) stretches.push_back({*from, last_day(weeks, *from, year)});
    });
    return stretches;
}

Calendar::Calendar(CalendarPlan plan)
    : plan_(std::move(plan)), days_(static_cast<std::size_t>((kEndDay - kFirstDay).count())) {
    for (const std::size_t entries :
         {plan_.closed.size(), plan_.early_closings.size(), plan_.peak_weeks.size()}) {
        if (entries > kMostCalendarEntries) throw std::length_error("too many entries in a calendar");
    }
    const auto day_at = [&](date::sys_days day) -> Day* {
        if (day < kFirstDay || day >= kEndDay) return nullptr;
        return &days_[static_cast<std::size_t>((day - kFirstDay).count())];
    };
    const auto each_kept = [&](const DayRule& rule, auto visit) {
        each_year([&](date::year year) {
            for (const Date kept : kept_days(rule, year)) {
                if (Day* day = day_at(kept)) visit(*day);
            }
        });
    };
    for (std::size_t i = 0; i < plan_.closed.size(); ++i) {
        each_kept(plan_.closed[i].rule, [&](Day& day) {
            if (day.holiday == 0) day.holiday = number_of(i);
        });
    }
    for (std::size_t i = 0; i < plan_.early_closings.size(); ++i) {
        each_kept(plan_.early_closings[i].rule, [&](Day& day) {
            const auto cut_off = plan_.early_closings[i].cut_off;
            if (day.early == 0 || cut_off < plan_.early_closings[day.early - 1U].cut_off)
                day.early = number_of(i);
        });
    }
    for (std::size_t i = 0; i < plan_.peak_weeks.size(); ++i) {
        for (const PeakStretch& stretch : stretches_of(plan_.peak_weeks[i])) {
            if (!stretch.until) continue;
            for (date::sys_days day = stretch.from; day <= *stretch.until; day += date::days{1}) {
                Day* known = day_at(day);
                if (known != nullptr && known->peak == 0) known->peak = number_of(i);
            }
        }
    }
}

const Calendar::Day* Calendar::find(Date day) const {
    const date::sys_days at(day);
    if (at < kFirstDay || at >= kEndDay) return nullptr;
    return &days_[static_cast<std::size_t>((at - kFirstDay).count())];
}

const std::string* Calendar::holiday_on(Date day) const {
    static const std::string beyond = "beyond the calendar";
    const Day* known = find(day);
    if (known == nullptr) return &beyond;
    return known->holiday == 0 ? nullptr : &plan_.closed[known->holiday - 1U].name;
}

const EarlyClosing* Calendar::early_closing_on(Date day) const {
    const Day* known = find(day);
    if (known == nullptr || known->early == 0) return nullptr;
    return &plan_.early_closings[known->early - 1U];
}

const PeakWeeks* Calendar::peak_on(Date day) const {
    const Day* known = find(day);
    if (known == nullptr || known->peak == 0) return nullptr;
    return &plan_.peak_weeks[known->peak - 1U];
}

}  // namespace mildway::transit
