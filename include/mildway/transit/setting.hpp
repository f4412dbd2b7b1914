// Thermal surroundings of a parcel on a leg.
#pragma once

#include "mildway/base/config_reader.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace mildway::transit {

/// Ambient temperature around a parcel, from the outside air and the sun:
///   ambient = max(heated_to, air + sun_lift * sun * built_up) + sun_on_box * absorptance / film *
///   sun_on_box_share air = hold + follow * (outside - hold)
/// with `heated_to`, `hold`, `sun_lift` and `sun_on_box` drawn once for each scenario (normal; both of the
/// sun not below 0; `heated_to` is as many spreads from its mean as `hold` is from its own, and `sun_on_box`
/// as `sun_lift`). `outside` and `sun` are those of the moment, or with `lag_hours` a memory of the hours
/// before (a first-order low-pass, also over the time before the parcel came). `built_up` is 1, or with
/// `soak_minutes` 1 - exp(-time since the leg began / soak). The last term is what makes the sol-air
/// temperature: absorptance is the parcel's, film the setting's outside film. odds/surroundings.hpp gives
/// outside, sun and sun_on_box_share.
struct Setting {
    std::string name;                   ///< indoors, vehicle, warehouse, aircraft, outdoors, doorstep ...
    double hold_c = 20;                 ///< what the place is kept at when it does not follow the outside
    double hold_spread_k = 0;           ///< standard deviation
    double follow = 0;                  ///< 0: closed and conditioned; 1: open air
    std::optional<double> heated_to_c;  ///< heating keeps the place at least this warm; none: unheated
    double heated_to_spread_k = 0;      ///< standard deviation
    double sun_lift_k = 0;              ///< lift of the air under full overhead sun
    double sun_lift_spread_k = 0;       ///< standard deviation
    double lag_hours = 0;               ///< time constant of the place's memory; 0: it has none
    double soak_minutes = 0;         ///< time constant of the lift's growth in a leg; 0: it is there at once
    double sun_on_box_w_per_m2 = 0;  ///< on the parcel itself under full sun, mean over its faces
    double sun_on_box_spread_w_per_m2 = 0;  ///< standard deviation
    double air_speed_m_per_s = 0;           ///< around the parcel; sets its outside film
    double air_speed_factor = 1;            ///< e^sd of the air speed's logarithm
    std::string source;

    [[nodiscard]] bool has_sun_lift() const { return sun_lift_k > 0 || sun_lift_spread_k > 0; }
    [[nodiscard]] bool has_sun_on_box() const {
        return sun_on_box_w_per_m2 > 0 || sun_on_box_spread_w_per_m2 > 0;
    }
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
