// What carriage costs: by zone or flat, by billed mass.
#pragma once

#include "mildway/base/config_reader.hpp"
#include "mildway/base/place.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace mildway::transit {

/// Where a price holds: destinations within a rectangle of the map, or as far from the counter as `up_to_km`
/// (geodesic on WGS 84).
struct Zone {
    struct Rectangle {
        double latitude_from_deg, latitude_to_deg;
        double longitude_from_deg, longitude_to_deg;  ///< east positive; does not span the 180th meridian
    };
    std::string name;  ///< "2", "islands"
    std::optional<double> up_to_km;
    std::vector<Rectangle> within;
};

/// A carrier's zones. Rectangles go before distances; of the distances the nearest that reaches.
class Zones {
public:
    /// Reads the list under `zones` of a carrier, which may be missing, without finishing the carrier.
    /// Throws InputError: a name twice, neither or both of `up_to_km` and `within`, distances not rising in
    /// the order of the file, a rectangle that is none.
    [[nodiscard]] static Zones read(const ConfigNode& carrier);

    [[nodiscard]] const std::vector<Zone>& all() const { return all_; }
    [[nodiscard]] bool empty() const { return all_.empty(); }
    /// Index of the zone that the destination lies in; empty when it lies in none.
    [[nodiscard]] std::optional<std::size_t> find(const Place& counter, const Place& destination) const;

private:
    std::vector<Zone> all_;
};

/// A price list of one service.
struct Price {
    /// Billed at least as if the outer volume had this density; 0: by mass alone. A carrier's divisor in
    /// cm3/kg is 1e6 / this.
    double dimensional_kg_per_m3 = 0;

    double base_usd = 0;  ///< flat: base_usd + per_kg_usd x billed mass, to anywhere
    double per_kg_usd = 0;

    /// By zone, when not empty: [zone of the carrier][step of mass_up_to_kg], USD; an empty row: the service
    /// is not sold there. The billed mass is rounded up to the next step.
    std::vector<std::vector<double>> usd_by_zone;
    std::vector<double> mass_up_to_kg;       ///< rising
    std::optional<double> per_kg_above_usd;  ///< beyond the last step, for each kg begun; none: not sold
};

/// Reads a service's `price`: `base_usd` with `per_kg_usd`, or `mass_up_to_kg` with `usd_by_zone` (an object:
/// zone name -> a price for each step). Every zone of the carrier has its row, or is named in the list
/// `not_sold_to`; `per_kg_above_usd` goes on beyond the last step. `dimensional_divisor_cm3_per_kg` or
/// `dimensional_kg_per_m3`, or neither. Throws InputError: an unknown zone, a zone without prices or both
/// priced and not sold to, a row too short or too long, steps that do not rise, a price below 0, both forms.
[[nodiscard]] Price read_price(const ConfigNode& node, const Zones& zones);

/// Why something is not sold, as a sentence without full stop.
struct NotSold {
    std::string reason;
};

/// Whether the service is sold to the destination at all; the zone, or why not.
[[nodiscard]] std::variant<std::size_t, NotSold> zone_for(const Price& price, const Zones& zones,
                                                          const Place& counter, const Place& destination);

/// What is billed, kg.
[[nodiscard]] double billed_mass_kg(const Price& price, double mass_kg, double volume_m3);

/// The carriage of a parcel to a zone (from zone_for; ignored by a flat price), USD, without extras.
[[nodiscard]] std::variant<double, NotSold> carriage_usd(const Price& price, std::size_t zone, double mass_kg,
                                                         double volume_m3);

}  // namespace mildway::transit
