#include "mildway/notices/letter_fields.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>

#include <fmt/format.h>

namespace mildway::notices {

namespace {

bool tells_of_arrival(Kind kind) {
    return kind != Kind::window && kind != Kind::taken_back && kind != Kind::cancelled;
}

/// "10:30"
std::string clock(const Facts& facts, Instant when) {
    return format_local_clock(find_zone(facts.place.zone), when);
}

/// "CST, the clock of Duluth MN"
std::string clock_words(const Facts& facts, Instant when) {
    const std::string zone = find_zone(facts.place.zone).get_info(when).abbrev;
    return fmt::format("{}, the clock of {}", zone, one_line(facts.place.name));
}

std::string long_moment(const Facts& facts, Instant when) {
    return fmt::format("{}, {}", long_day(local_date(find_zone(facts.place.zone), when)), clock(facts, when));
}

void add_common(Fields& fields, const Facts& facts) {
    fields.texts = {{"breeder", one_line(facts.breeder)},
                    {"answers_to", facts.answers_to},
                    {"buyer", one_line(facts.buyer)},
                    {"order", one_line(facts.order)},
                    {"animals", one_line(facts.animals)},
                    {"the_animals", facts.count == 1 ? "the animal" : "the animals"},
                    {"place", one_line(facts.place.name)},
                    {"safe_from", facts.safe_from},
                    {"safe_to", facts.safe_to},
                    {"room_from", facts.room_from},
                    {"room_to", facts.room_to}};
    fields.flags["several"] = facts.count > 1;
    const std::string& group = facts.group;
    fields.flags["is_tortoise"] = group == "tortoise" || group == "turtle";
    fields.flags["is_snake"] = group == "snake";
    fields.flags["is_lizard"] = group == "lizard" || group == "gecko";
    fields.flags["is_amphibian"] = group == "frog" || group == "salamander";
    fields.flags["is_invertebrate"] = group == "invertebrate";
}

void add_told(Fields& fields, const Facts& facts) {
    fields.flags["had_date"] = facts.told_day.has_value();
    fields.texts["told_day"] = facts.told_day ? long_day(*facts.told_day) : "";
    fields.flags["same_day"] = facts.told_day && facts.arrival && *facts.told_day == facts.arrival->day;
    fields.flags["told_day_again"] = facts.told_day && std::find(facts.days.begin(), facts.days.end(),
                                                                 *facts.told_day) != facts.days.end();
}

void add_arrival(Fields& fields, const Facts& facts) {
    const Arrival& arrival = facts.arrival.value();
    fields.texts["ship_day"] = long_day(arrival.ship_day);
    const bool known = !arrival.off_plan;
    fields.flags["off_plan"] = arrival.off_plan;
    fields.flags["late"] = arrival.late;
    fields.texts["arrival_day"] = known ? long_day(arrival.day) : "";
    fields.flags["has_usual"] = known && arrival.usual.has_value();
    fields.texts["arrival_usual"] = known && arrival.usual ? clock(facts, *arrival.usual) : "";
    fields.texts["arrival_by"] = known ? clock(facts, arrival.promised) : "";
    fields.flags["has_closing"] = known && arrival.closes.has_value();
    fields.texts["collect_until"] = known && arrival.closes ? clock(facts, *arrival.closes) : "";
    fields.flags["held"] = arrival.held;
    fields.texts["clock"] = clock_words(facts, arrival.promised);
    fields.texts["carrier"] = one_line(arrival.carrier);
    fields.texts["service"] = one_line(arrival.service);
}

void add_delay(Fields& fields, const Facts& facts, Instant now) {
    const BoxFacts& box = facts.box.value();
    fields.texts["packed"] = long_moment(facts, box.packed);
    fields.texts["packed_clock"] = clock_words(facts, box.packed);
    fields.texts["hours_in_box"] = fmt::format("{:.0f}", std::max(0.0, in_hours(now - box.packed)));
    fields.texts["water_hours"] = fmt::format("{:.0f}", facts.without_water_h);
    fields.flags["has_warmer"] = box.warmer_until.has_value();
    fields.texts["warmer_until"] = box.warmer_until ? long_moment(facts, *box.warmer_until) : "";
}

}  // namespace

std::string long_day(Date day) {
    constexpr std::array<const char*, 7> kDays{"Sunday",   "Monday", "Tuesday", "Wednesday",
                                               "Thursday", "Friday", "Saturday"};
    constexpr std::array<const char*, 12> kMonths{"January",   "February", "March",    "April",
                                                  "May",       "June",     "July",     "August",
                                                  "September", "October",  "November", "December"};
    return fmt::format("{}, {} {} {}", kDays[weekday_index(date::sys_days(day))],
                       static_cast<unsigned>(day.day()), kMonths[static_cast<unsigned>(day.month()) - 1],
                       static_cast<int>(day.year()));
}

std::string one_line(const std::string& text) {
    std::string out;
    for (const char c : text) {
        const bool blank = static_cast<unsigned char>(c) <= 0x20 || c == 0x7f;
        if (blank && (out.empty() || out.back() == ' ')) continue;
        out += blank ? ' ' : c;
    }
    while (out.ends_with(' ')) out.pop_back();
    return out;
}

Fields fields_of(Kind kind, const Facts& facts, Instant now) {
    if (tells_of_arrival(kind) && !facts.arrival)
        throw std::logic_error("a message of an arrival without one");
    if (kind == Kind::delay && !facts.box) throw std::logic_error("a message of a delay without a box");
    Fields fields;
    add_common(fields, facts);
    if (kind == Kind::window) {
        auto& days = fields.lists["days"];
        for (const Date day : facts.days) days.push_back({{"day", long_day(day)}});
    }
    if (kind == Kind::window || kind == Kind::moved || kind == Kind::taken_back || kind == Kind::cancelled)
        add_told(fields, facts);
    if (tells_of_arrival(kind)) add_arrival(fields, facts);
    if (kind == Kind::delay) add_delay(fields, facts, now);
    return fields;
}

Fields example_fields(Kind kind) {
    using namespace date::literals;
    using std::chrono::hours;
    const Instant noon = date::sys_days(2027_y / 3 / 1) + hours(12);
    Facts facts{"Juniper Bench Herpetology",
                "orders@example.org",
                "Example Buyer",
                "JB-1",
                "2 x corn snake",
                2,
                "snake",
                "13 °C",
                "30 °C",
                "20 °C",
                "24 °C",
                72,
                {"Duluth MN", 46.7867, -92.1005, "America/Chicago"},
                {2027_y / 3 / 2, 2027_y / 3 / 3},
                Arrival{2027_y / 3 / 1, 2027_y / 3 / 2, noon + hours(28), noon + hours(30), true,
                        noon + hours(36), "Northline Parcel", "Night, held"},
                BoxFacts{noon, noon + hours(60)},
                2027_y / 3 / 2,
                std::nullopt};
    Fields fields = fields_of(kind, facts, noon + hours(40));
    for (auto& flag : fields.flags) flag.second = true;
    return fields;
}

}  // namespace mildway::notices
