// What a carrier sells: calendar, cut-off, legs, promise, price, and how often it is late.
#pragma once

#include "mildway/base/config_reader.hpp"
#include "mildway/base/time.hpp"
#include "mildway/transit/setting.hpp"

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace mildway::transit {

/// Who is where on a lane. `counter` is where the breeder hands over.
enum class Role { origin, counter, hub, destination };
inline constexpr std::size_t kRoleCount = 4;

[[nodiscard]] std::string_view role_name(Role role);

/// Days of the week on which something happens, Sunday = index 0.
using WeekdaySet = std::array<bool, 7>;

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

/// Names of the two legs that come before the service's own; no other leg may have them.
inline constexpr const char* kPackedLeg = "packed";
inline constexpr const char* kDriveLeg = "drive";

/// One stretch of a service, before it is laid on a date.
struct LegPlan {
    std::string name;         ///< "van", in words a breeder reads, unique in its service
    std::size_t setting = 0;  ///< index into Settings
    Role from = Role::counter;
    Role to = Role::counter;  ///< same as `from` when the parcel stays
    LegEnd end;
};

/// Chance of arriving late, by whole service days.
struct LateOdds {
    double one_day = 0;
    double more_days = 0;  ///< two or more; worked with as two
    [[nodiscard]] double on_time() const { return 1.0 - one_day - more_days; }
};

struct Price {
    double base_usd = 0;
    double per_kg_usd = 0;
    double dimensional_kg_per_m3 = 0;  ///< billed mass is at least volume times this
};

struct Service {
    std::string id;
    std::string label;
    WeekdaySet accepts{};
    WeekdaySet delivers{};
    std::vector<Date> closed;      ///< neither accepted nor delivered
    minutes cut_off{0};            ///< latest hand-over, local at the counter
    minutes hand_over{0};          ///< when the breeder means to be there; not after the cut-off
    int transit_service_days = 1;  ///< delivery days from ship to delivery date
    minutes promised_by{0};        ///< local at the destination
    std::vector<LegPlan> legs;
    std::size_t waits_in_leg = 0;  ///< the leg in which a late parcel spends the extra days
    LateOdds late;
    std::array<double, 7> late_factor_by_weekday{};  ///< multiplies the odds of being late, by ship weekday
    Price price;
    std::string source;
};

/// All services of a workspace (services.json). Throws InputError: unknown setting, cut-off before hand-over,
/// a leg of no length, chances outside 0..1, no day accepted.
class Services {
public:
    [[nodiscard]] static Services read(const ConfigNode& node, const Settings& settings);

    [[nodiscard]] const std::vector<Service>& all() const { return all_; }
    /// Throws UsageError with the nearest name.
    [[nodiscard]] const Service& find(const std::string& id) const;

private:
    std::vector<Service> all_;
};

/// Late odds for a parcel handed over on `ship_date`: the service's chances with the odds multiplied by the
/// weekday's factor (odds, not chances, so that they stay below 1).
[[nodiscard]] LateOdds late_odds(const Service& service, Date ship_date);

/// What the carriage costs, USD, for a parcel of this mass and outer size.
[[nodiscard]] double carriage_usd(const Service& service, double mass_kg, double volume_m3);

}  // namespace mildway::transit
