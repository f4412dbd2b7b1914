// Days that come every year, by rule or by list.
#pragma once

#include "mildway/base/config_reader.hpp"
#include "mildway/base/time.hpp"

#include <string>
#include <vector>

namespace mildway::transit {

/// What happens when a holiday of a fixed date falls on a weekend. `nearest_weekday` is that of 5 USC 6103(b)
/// and Executive Order 11582: Saturday's is kept on the Friday before, Sunday's on the Monday after.
enum class Observed { as_it_falls, nearest_weekday, sunday_to_monday };

/// Which days of the calendar are meant.
struct DayRule {
    enum class Kind { fixed, nth_weekday, listed };
    Kind kind = Kind::fixed;
    date::month month{1};
    date::day day{1};         ///< fixed: 29 February is met in leap years alone
    date::weekday weekday{};  ///< nth_weekday
    int nth = 1;              ///< nth_weekday: 1 to 5, or -1 for the last of the month
    int plus_days = 0;        ///< counted on from there: the day after the fourth Thursday has 1; -30 to 30
    Observed observed = Observed::as_it_falls;  ///< after plus_days
    std::vector<Date> dates;                    ///< listed, sorted
};

/// The day that the rule gives in a year as it is kept: it may lie in the year before or after (1 January
/// 2022, a Saturday, is kept on 31 December 2021). Empty where there is none (no fifth Monday, no 29
/// February). Listed: the dates of that year.
[[nodiscard]] std::vector<Date> kept_days(const DayRule& rule, date::year year);

/// Reads the keys of a rule from `node`, without finishing it: `month` and `day`, or `month`, `weekday` and
/// `nth`, or `dates`; `plus_days`, `observed`. Throws InputError: both or none of the forms, 31 April, no
/// weekday, `dates` together with `plus_days` or `observed`.
[[nodiscard]] DayRule read_day_rule(const ConfigNode& node);

struct Holiday {
    std::string id;    ///< "thanksgiving"
    std::string name;  ///< "Thanksgiving Day"
    DayRule rule;
    std::string source;
};

/// The days that calendars of carriers refer to by their ids (holidays.json).
class Holidays {
public:
    [[nodiscard]] static Holidays read(const ConfigNode& node);  ///< throws InputError

    [[nodiscard]] const std::vector<Holiday>& all() const { return all_; }
    [[nodiscard]] std::vector<std::string> ids() const;
    /// nullptr when there is none of that id.
    [[nodiscard]] const Holiday* find(const std::string& id) const;

private:
    std::vector<Holiday> all_;
};

}  // namespace mildway::transit
