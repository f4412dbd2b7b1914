// What a carrier sells: calendar, cut-off, legs, promise, price, and how often it is late.
#pragma once

#include "mildway/base/config_reader.hpp"
#include "mildway/base/place.hpp"
#include "mildway/base/time.hpp"
#include "mildway/transit/calendar.hpp"
#include "mildway/transit/price.hpp"
#include "mildway/transit/setting.hpp"

#include <array>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace mildway::transit {

/// Who is where on a lane. `counter` is where the breeder hands over. A service may pass one hub, two, or
/// none.
enum class Role { origin, counter, hub, second_hub, destination };
inline constexpr std::size_t kRoleCount = 5;

[[nodiscard]] std::string_view role_name(Role role);

/// How a leg ends: at a clock time on a day counted from the ship or the delivery date (spread: normal,
/// minutes), or after it has lasted for a while (spread: log-normal, as a factor: two thirds of cases lie
/// within a factor f).
struct LegEnd {
    enum class Kind { clock, lasts };
    enum class From { ship_day, delivery_day };
    Kind kind = Kind::clock;
    From from = From::ship_day;
    int plus_days = 0;
    minutes clock{0};  ///< local time at `at`
    Role at = Role::origin;
    double spread_minutes = 0;  ///< clock: standard deviation
    minutes length{0};          ///< lasts: median
    double spread_factor = 1;   ///< lasts: e^sd of the logarithm
};

/// Where on the lane a leg runs: from a share of the way between two places to another. Staying at a place:
/// from == to. Standing somewhere on the way: from_share == to_share.
struct Stretch {
    Role from = Role::counter;
    Role to = Role::counter;
    double from_share = 0;  ///< 0 to 1
    double to_share = 1;    ///< 0 to 1, not below from_share
    /// The share of the way after a part of the leg, 0 to 1.
    [[nodiscard]] double share_at(double part) const { return from_share + part * (to_share - from_share); }
};

/// Standing where a leg ends.
[[nodiscard]] Stretch stand_at_end(const Stretch& stretch);

/// Names of the legs that come before the service's own; no other leg may have them.
inline constexpr const char* kPackedLeg = "packed";
inline constexpr const char* kDriveLeg = "drive";
inline constexpr const char* kParkedLeg = "parked";

/// One stretch of a service, before it is laid on a date.
struct LegPlan {
    std::string name;         ///< "van", in words a breeder reads, unique in its service
    std::size_t setting = 0;  ///< index into Settings
    Stretch stretch;
    LegEnd end;
};

/// Chance of arriving late, by whole service days.
struct LateOdds {
    double one_day = 0;
    double more_days = 0;  ///< two or more; worked with as two
    [[nodiscard]] double on_time() const { return 1.0 - one_day - more_days; }
    [[nodiscard]] double late() const { return one_day + more_days; }
};

/// However bad the night, some parcels get through; also keeps odds finite.
inline constexpr double kMostLate = 0.9;

/// How much one night's lateness hangs together (odds/late_together.hpp) with a carrier that says nothing of
/// it. At one large airport the worst 5 % of days held 81 % of a year's weather cancellations (published);
/// half of all lateness is the weather's (judgement), so that the worst 5 % of nights hold 0.5 x 0.81 + 0.5 x
/// 0.05 = 0.43 of it. Of ordinary parcels, 3.5 % late, that asks for r = 0.47
/// (tests/odds/late_together_test.cpp solves it), one digit.
inline constexpr double kUsuallyTogether = 0.5;

/// Where a late parcel spends the extra days: the leg is gone through in vain, the parcel waits in `setting`
/// until the leg begins anew on a later day.
struct Wait {
    std::size_t leg = 0;      ///< index into the service's legs
    double share = 1;         ///< of late parcels; the service's shares sum to 1
    std::size_t setting = 0;  ///< index into Settings
    std::string name;         ///< "wait after hub sort"
};

/// When a held parcel can be collected, on the destination's clock, Sunday = index 0; none: closed.
struct CollectionHours {
    struct Span {
        minutes opens{0};
        minutes closes{0};
    };
    std::array<std::optional<Span>, 7> by_weekday;
};

/// One thing a breeder can buy. A service with options (Saturday delivery, held at a counter) stands in
/// Services once bare and once for each combination of its options, each with its own id, label, legs and
/// price.
struct Service {
    std::string id;                    ///< "night-air", "night-air+held"
    std::string label;                 ///< "Night air", "Night air, held"
    std::string base_id;               ///< "night-air"
    std::vector<std::string> options;  ///< ids of the options bought, in the order of the file
    std::string carrier;               ///< label of the carrier; that of the service when it names none
    std::shared_ptr<const Calendar> calendar = std::make_shared<const Calendar>();
    WeekdaySet accepts{};
    WeekdaySet delivers{};
    /// Bought only where the delivery date falls on such a day; none set: always. For "Saturday delivery".
    WeekdaySet only_for_delivery_on{};
    std::vector<Place> hubs;       ///< none, one or two
    minutes cut_off{0};            ///< latest hand-over, local at the counter
    minutes hand_over{0};          ///< when the breeder means to be there; not after the cut-off
    int transit_service_days = 1;  ///< delivery days from ship to delivery date
    minutes promised_by{0};        ///< local at the destination
    std::vector<LegPlan> legs;     ///< the last is the buyer's: the parcel is delivered when it begins
    std::vector<Wait> waits;       ///< at least one
    bool held = false;             ///< waits at a staffed counter for the buyer
    std::optional<CollectionHours> collection;
    LateOdds late;
    std::array<double, 7> late_factor_by_weekday{1, 1, 1, 1, 1, 1, 1};  ///< on the odds, by ship weekday
    double late_factor_after_holiday = 1;  ///< on the odds of the first day accepted after a holiday
    double late_together =
        kUsuallyTogether;  ///< how much one night's lateness hangs together (odds/late_together.hpp)
    std::shared_ptr<const Zones> zones = std::make_shared<const Zones>();
    Price price;
    double extra_usd = 0;  ///< of its options; may be negative
    std::string source;

    [[nodiscard]] bool has_option(std::string_view id) const;
};

/// What services refer to. Borrowed while reading.
struct ServiceReferences {
    const Settings& settings;
    const Holidays& holidays;
    std::span<const Place> places;  ///< hubs are named by these
};

/// All services of a workspace (services.json), with their options. Throws InputError.
class Services {
public:
    [[nodiscard]] static Services read(const ConfigNode& node, const ServiceReferences& references);

    [[nodiscard]] const std::vector<Service>& all() const { return all_; }
    /// nullptr when there is none.
    [[nodiscard]] const Service* by_id(const std::string& id) const;
    /// Throws UsageError with the nearest name.
    [[nodiscard]] const Service& find(const std::string& id) const;

private:
    std::vector<Service> all_;
};

/// Late odds for a parcel handed over on `ship_date`: the service's chances with the odds multiplied by the
/// factors of the weekday, of peak weeks and of a day after a holiday (odds, not chances, so that they stay
/// below 1).
[[nodiscard]] LateOdds late_odds(const Service& service, Date ship_date);

/// The chances with the odds of being late multiplied, at most kMostLate; the share of more days stays.
[[nodiscard]] LateOdds with_odds_factor(LateOdds chances, double factor);

/// Surcharges of the ship date and what the options cost, USD; add to carriage_usd(price, ...).
[[nodiscard]] double extras_usd(const Service& service, Date ship_date);

}  // namespace mildway::transit
