// Thermal surroundings of a parcel on a leg.
#pragma once

#include "mildway/base/config_reader.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace mildway::transit {

/// Ambient temperature around a parcel, from the outside air and the sun:
///   ambient = max(heated_to, hold + follow * (outside - hold) + sun_lift * sun_share)
/// with `heated_to`, `hold` and `sun_lift` drawn once for each scenario (normal; sun_lift not below 0;
/// `heated_to` is as many spreads from its mean as `hold` is from its own).
struct Setting {
    std::string name;                   ///< indoors, vehicle, warehouse, aircraft, outdoors, doorstep
    double hold_c = 20;                 ///< what the place is kept at when it does not follow the outside
    double hold_spread_k = 0;           ///< standard deviation
    double follow = 0;                  ///< 0: closed and conditioned; 1: open air
    std::optional<double> heated_to_c;  ///< heating keeps the place at least this warm; none: unheated
    double heated_to_spread_k = 0;      ///< standard deviation
    double sun_lift_k = 0;              ///< lift under full overhead sun
    double sun_lift_spread_k = 0;       ///< standard deviation
    double air_speed_m_per_s = 0;       ///< around the parcel; sets its outside film
    std::string source;
};

/// All settings of a workspace (settings.json). Names are free, but `indoors` and `vehicle` must be there:
/// every trip begins in them. Throws InputError.
class Settings {
public:
    [[nodiscard]] static Settings read(const ConfigNode& node);

    [[nodiscard]] const std::vector<Setting>& all() const { return all_; }
    [[nodiscard]] std::vector<std::string> names() const;
    [[nodiscard]] const Setting& at(std::size_t index) const { return all_.at(index); }
    /// Index of the setting of that name. Throws UsageError with the nearest name.
    [[nodiscard]] std::size_t find(std::string_view name) const;

private:
    std::vector<Setting> all_;
};

}  // namespace mildway::transit
