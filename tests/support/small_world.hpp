// A small, wholly known world: rooms kept at fixed temperatures, a service of a few legs, forecasts without
// surprises.
#pragma once

#include "mildway/care/species.hpp"
#include "mildway/odds/assess.hpp"
#include "mildway/odds/world.hpp"

#include "box_fixtures.hpp"

#include <memory>
#include <string>
#include <variant>
#include <vector>

namespace mildway::testing {

inline Instant at(const char* text) {
    return parse_instant(text).value();
}

/// The same temperature at every hour.
inline weather::Outlook steady_outlook(double temp_c, Instant first_hour, int hour_count) {
    weather::Outlook outlook;
    outlook.source = "made up for a test";
    outlook.issued = first_hour;
    outlook.first_hour = first_hour;
    const auto n = static_cast<std::size_t>(hour_count);
    outlook.temp_c = {std::vector<double>(n, temp_c)};
    for (auto* series : {&outlook.cloud_fraction, &outlook.wind_m_per_s, &outlook.snow_mm_per_h,
                         &outlook.ice_mm_per_h, &outlook.thunder_probability}) {
        series->assign(n, 0.0);
    }
    return outlook;
}

/// Legs: packed and drive in a warm room, then "hall" until 20:00, "yard" until 08:00 next day, "porch" for
/// an hour.
class SmallWorld {
public:
    struct Options {
        double warm_room_c = 20;  ///< kept exactly
        double cold_room_c = 5;   ///< "hall" and "porch", kept exactly
        double outside_c = 10;    ///< "yard" follows the outside air wholly
        double late_one_day = 0.1;
        double late_more_days = 0.05;
        int forecast_hours = 240;
        std::uint32_t scenarios = 256;
        double leg_spread_minutes = 0;
        /// Where late parcels wait, as in services.json.
        std::string waits = R"([{"after": "yard"}])";
    };

    explicit SmallWorld(const Options& options)
        : settings_(transit::Settings::read(ConfigNode::parse("settings.json", settings_text(options)))),
          services_(transit::Services::read(ConfigNode::parse("services.json", service_text(options)),
                                            {settings_, holidays_, {}})) {
        const Place home{"Home", 40, -105, "America/Denver", Climate::elsewhere};
        const Place far{"Far", 40, -90, "America/Chicago", Climate::elsewhere};
        lane_ = transit::lane_of(service(), {home, home}, far);
        const Instant first = at("2027-03-01T00:00:00Z");
        outlooks_ = {{home, steady_outlook(options.outside_c, first, options.forecast_hours)},
                     {far, steady_outlook(options.outside_c, first, options.forecast_hours)}};
        const std::vector<const transit::Service*> services{&service()};
        handling_ = std::make_unique<odds::Handling>(services, settings_, boxes.supplies.warmers,
                                                     options.scenarios, 7);
        sampled_ =
            std::make_unique<weather::SampledWeather>(outlooks_, first, first + hours(options.forecast_hours),
                                                      weather::SamplingOptions{options.scenarios, 7, 1});
    }

    ShippedBoxes boxes;

    [[nodiscard]] const transit::Service& service() const { return services_.all().front(); }
    [[nodiscard]] const transit::Settings& settings() const { return settings_; }

    [[nodiscard]] odds::World world() const {
        return {outlooks_,       {0, 0, 0, 0, 1}, sampled_.get(), &settings_, &boxes.supplies.warmers,
                handling_.get(), nullptr};
    }

    /// Handed over on Monday.
    [[nodiscard]] transit::Trip trip(int late, std::size_t wait = 0) const {
        const auto on_time = std::get<transit::Trip>(route().lay(monday(), at("2027-03-01T00:00:00Z")));
        if (late == 0) return on_time;
        return std::get<transit::Trip>(route().delayed(on_time, {late, wait}));
    }

    [[nodiscard]] odds::TripCases cases() const {
        return std::get<odds::TripCases>(odds::lay_cases(route(), monday(), at("2027-03-01T00:00:00Z")));
    }

    [[nodiscard]] odds::BoxModel box(const std::string& packing,
                                     const box::Contents& contents = {1, 0.015}) const {
        return odds::BoxModel(boxes.packings.find(packing), boxes.supplies.warmers, contents, settings_, 15);
    }

private:
    static Date monday() { return Date{date::year{2027} / 3 / 1}; }
    [[nodiscard]] transit::Route route() const {
        return {service(), settings_, lane_, {minutes(60), minutes(30)}};
    }

    static std::string settings_text(const Options& options) {
        const auto kept = [](const std::string& name, double c) {
            return R"({"name": ")" + name + R"(", "hold_c": )" + std::to_string(c) +
                   R"(, "hold_spread_k": 0, "follow": 0, "air_speed_m_per_s": 0.1, "source": "test"},)";
        };
        return R"({"settings": [)" + kept("indoors", options.warm_room_c) +
               kept("vehicle", options.warm_room_c) + kept("warehouse", options.cold_room_c) +
               R"({"name": "outdoors", "hold_c": 0, "follow": 1, "air_speed_m_per_s": 3, "source": "test"}]})";
    }

    static std::string service_text(const Options& options) {
        const std::string spread = std::to_string(options.leg_spread_minutes);
        return R"({"services": [{"id": "plain", "label": "Plain",
            "accepts": ["Mon","Tue","Wed","Thu","Fri"], "delivers": ["Mon","Tue","Wed","Thu","Fri"],
            "cut_off": "17:00", "hand_over": "16:00", "transit_service_days": 1, "promised_by": "10:00",
            "legs": [
              {"name": "hall", "setting": "warehouse", "from": "counter", "to": "destination",
               "ends": {"clock": "20:00", "on": "ship-day", "at": "counter", "spread_minutes": )" +
               spread + R"(}},
              {"name": "yard", "setting": "outdoors", "place": "destination",
               "ends": {"clock": "08:00", "on": "delivery-day", "at": "destination", "spread_minutes": )" +
               spread + R"(}},
              {"name": "porch", "setting": "warehouse", "place": "destination", "ends": {"lasts_minutes": 60}}],
            "late": {"one_day": )" +
               std::to_string(options.late_one_day) + R"(, "more_days": )" +
               std::to_string(options.late_more_days) + R"(, "waits": )" + options.waits + R"(},
            "price": {"base_usd": 30}, "source": "test"}]})";
    }

    transit::Settings settings_;
    transit::Holidays holidays_;
    transit::Services services_;
    transit::Lane lane_;
    std::vector<weather::PlaceOutlook> outlooks_;
    std::unique_ptr<odds::Handling> handling_;
    std::unique_ptr<weather::SampledWeather> sampled_;
};

/// A species with the given bands; the rest does not matter to the odds.
inline care::Species species_with(care::Band safe, care::Band harm) {
    care::Species species;
    species.id = species.common = "test animal";
    species.comfort = safe;
    species.safe = safe;
    species.harm = harm;
    species.mass_g = 15;
    return species;
}

}  // namespace mildway::testing
