// A sale that is to be shipped, and what has been decided and seen of it.
#pragma once

#include "mildway/base/place.hpp"
#include "mildway/base/time.hpp"
#include "mildway/base/verdict.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace mildway::orders {

/// open -> planned -> handed_over -> arrived; open and planned -> cancelled; planned -> open when its plan is
/// taken back; handed_over -> planned when the hand-over is.
enum class State { open, planned, handed_over, arrived, cancelled };

[[nodiscard]] std::string_view state_name(State state);  ///< "handed-over"
[[nodiscard]] std::optional<State> state_of(std::string_view name);

/// Known by the e-mail address, whatever its case; orders of one address share the buyer.
struct Buyer {
    std::string name;
    std::string email;    ///< may be empty: then there are no messages
    std::string address;  ///< as on the label; lines separated by '\n'; may be empty
    TemperatureScale scale = TemperatureScale::celsius;
};

/// One of a parcel. All of one parcel are of one species.
struct Animal {
    std::string mark;                ///< the breeder's own name or number for it; may be empty
    std::optional<double> mass_g;    ///< empty: the species' typical juvenile
    std::optional<double> shell_mm;  ///< carapace length of a turtle or tortoise

    bool operator==(const Animal&) const = default;
};

/// Days, both ends included.
struct DateRange {
    Date from{};
    Date until{};
};

/// The option an order is planned with, as it stood when it was chosen.
struct Choice {
    int version = 0;  ///< of one order: 1 for its first choice, 2 for the next
    Date ship_date{};
    std::string service;  ///< id in services.json
    std::string service_label;
    std::string carrier_label;
    std::string packing;  ///< id in packings.json
    std::string packing_label;
    Instant packed;       ///< the animals go into the box
    Instant handed_over;  ///< as planned
    Instant cut_off;      ///< latest hand-over
    Instant promised;     ///< latest arrival, by the carrier's promise
    Date delivery_date{};
    bool held = false;  ///< the buyer collects at a staffed counter
    Verdict verdict = Verdict::unknown;
    Side side = Side::cold;
    std::optional<double> hours_outside;   ///< expected; empty: unknown
    std::optional<double> chance_outside;  ///< of more than 30 minutes outside the safe band
    std::optional<double> chance_harm;
    double cost_usd = 0;
    Instant chosen;
    Instant weather_issued;  ///< the oldest of the outlooks it rests on
    std::string chosen_by;   ///< "week" or "plan"
    /// The whole assessment as JSON (reports/option_json.hpp). Left empty by queries for many orders.
    std::string document;
};

/// Days proposed to a buyer, before one is chosen.
struct Proposal {
    int version = 0;  ///< of one order, from 1
    Instant made;
    struct Day {
        Date ship_date{};
        Date arrival_date{};
        Verdict verdict = Verdict::unknown;
    };
    std::vector<Day> days;  ///< in order
};

struct Order {
    std::int64_t id = 0;  ///< in the book; 0 before it is added
    std::string number;   ///< the breeder's own: "JB-1041", unique whatever the case
    State state = State::open;
    Buyer buyer;
    std::string destination;          ///< as it was typed
    Place place;                      ///< as it was found
    std::string species;              ///< id in species.json
    std::vector<Animal> animals;      ///< at least one
    std::optional<double> value_usd;  ///< of all animals together
    std::optional<Date> earliest_arrival;
    std::optional<Date> latest_arrival;
    std::vector<DateRange> buyer_away;  ///< nothing may arrive then; in order, not overlapping
    std::vector<std::string> services;  ///< ids; only these may be used; empty: any
    std::string note;
    Instant entered;
    Instant changed;
    /// Grows with each change; a change made from an older one is refused.
    std::int64_t revision = 0;
    std::optional<Instant> handed_over;  ///< when it was, not as planned
    std::optional<Choice> choice;        ///< the one in force; kept after hand-over
    std::optional<Proposal> proposal;    ///< the newest
};

/// Why the buyer cannot take the parcel in on a day; empty when they can: "before the earliest day, Wed 3
/// Mar", "the buyer is away".
[[nodiscard]] std::string why_not_arriving(const Order& order, Date arrival);

/// What a morning's check found of a planned order.
struct Reassessment {
    Instant made;
    int choice_version = 0;
    Verdict verdict = Verdict::unknown;   ///< by today's figures
    Verdict standing = Verdict::unknown;  ///< as told: follows `verdict` with a margin (weekly/standing.hpp)
    Side side = Side::cold;
    std::optional<double> hours_outside;
    std::optional<double> hours_error;  ///< one standard error
    std::optional<double> chance_outside;
    std::optional<double> chance_harm;
    std::string worst_leg;  ///< empty: none
    Instant weather_issued;
    /// Outside when it was last told, so that a slow slide is told once it is a step; empty: never told of
    /// this choice.
    std::optional<double> told_hours;
    /// Why it cannot go as planned, the weather left aside; empty: nothing is known against it.
    std::string trouble;
    bool flagged = false;            ///< a person should look
    std::optional<Date> better_day;  ///< clearly better, as told with a margin; may be the planned day
    std::string better_service;      ///< id; empty: not told, or kept by an older program
    std::string better_packing;      ///< likewise
    double better_by_hours = 0;      ///< 0: unknown, or it is better for its verdict
    std::string sentence;            ///< what changed since the last one; empty: nothing
};

/// How a parcel arrived.
struct Outcome {
    Instant arrived;
    int alive = 0;
    int well = 0;                    ///< of those alive
    std::optional<double> inside_c;  ///< in the box when it was opened
    std::string logger_name;         ///< file name of a temperature logger's file; empty: none
    std::string logger_bytes;        ///< the file; left empty by queries for many orders
    std::string note;
};

/// Something that happened to an order, for people: "planned for Tue 2 Mar, Night, 38 mm + 40 h warmer".
struct Event {
    Instant at;
    std::string kind;  ///< "entered", "changed", "planned", "taken back", "handed over", "arrived", ...
    std::string text;
};

}  // namespace mildway::orders
