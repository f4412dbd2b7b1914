// A world of made-up settings, two places and one parcel, to look at the air around the parcel alone.
#pragma once

#include "mildway/odds/assess.hpp"

#include "exposure.hpp"
#include "small_world.hpp"

#include <cmath>
#include <memory>
#include <numbers>
#include <optional>
#include <string>
#include <vector>

namespace mildway::testing {

/// A setting written as in settings.json, its name and source left out.
struct RoomText {
    std::string name;
    std::string fields;
};

/// Temperatures at an outlook's hours, made by a function of the hours since its first.
template <class Temp>
weather::Outlook made_air(Instant first_hour, int hour_count, const Temp& temp_c) {
    weather::Outlook outlook = steady_outlook(0, first_hour, hour_count);
    for (std::size_t i = 0; i < outlook.temp_c[0].size(); ++i)
        outlook.temp_c[0][i] = temp_c(static_cast<double>(i));
    return outlook;
}

/// "near" and "far" are a few time zones apart; the parcel is at near as origin, far as destination.
class RoomWorld {
public:
    struct Options {
        std::vector<RoomText> rooms;
        weather::Outlook near;
        weather::Outlook far;
        Instant from;  ///< of the sampled weather
        Instant until;
        std::uint32_t scenarios = 256;
        unsigned threads = 1;
        Instant trips_from{};  ///< none: as the weather
    };

    explicit RoomWorld(const Options& options)
        : settings_(transit::Settings::read(ConfigNode::parse("settings.json", text_of(options.rooms)))),
          places_{{near_place(), options.near}, {far_place(), options.far}},
          sampled_(places_, options.from, options.until, {options.scenarios, 7, options.threads}),
          handling_({}, settings_, boxes_warmers(), options.scenarios, 7) {
        std::vector<odds::Surroundings::Meeting> meetings;
        for (std::size_t setting = 0; setting < settings_.all().size(); ++setting)
            for (const std::size_t place : {0u, 1u}) meetings.push_back({setting, place});
        const Instant from = options.trips_from == Instant{} ? options.from : options.trips_from;
        surroundings_ = std::make_unique<odds::Surroundings>(
            places_, sampled_, settings_, meetings, odds::TimeSpan{from, options.until}, options.threads);
    }

    [[nodiscard]] static Place near_place() { return {"Near", 40, -105, "America/Denver", {}}; }
    [[nodiscard]] static Place far_place() { return {"Far", 30, -81, "America/New_York", {}}; }

    [[nodiscard]] odds::World world() const {
        return {places_, {0, 0, 0, 0, 1}, &sampled_, &settings_, nullptr, &handling_, surroundings_.get()};
    }
    [[nodiscard]] const odds::Surroundings& surroundings() const { return *surroundings_; }
    [[nodiscard]] const weather::SampledWeather& sampled() const { return sampled_; }
    [[nodiscard]] const transit::Settings& settings() const { return settings_; }

    /// A leg in a room of that name, without spread.
    [[nodiscard]] transit::Leg leg(const std::string& room, Instant start, Instant end,
                                   transit::Role from = transit::Role::origin,
                                   transit::Role to = transit::Role::origin) const {
        return {transit::kPackedLeg, settings_.find(room), {from, to}, start, end, {}, 0, {}, {}};
    }

private:
    static const box::Warmers& boxes_warmers() {
        static const box::Warmers none;
        return none;
    }
    static std::string text_of(const std::vector<RoomText>& rooms) {
        std::string text = R"({"settings": [)";
        for (const char* needed : {"indoors", "vehicle"})
            text += std::string(R"({"name": ")") + needed +
                    R"(", "hold_c": 20, "follow": 0, "air_speed_m_per_s": 0.1, "source": "test"},)";
        for (const RoomText& room : rooms)
            text += R"({"name": ")" + room.name + R"(", )" + room.fields + R"(, "source": "test"},)";
        text.back() = ']';
        return text + "}";
    }

    transit::Settings settings_;
    std::vector<weather::PlaceOutlook> places_;
    weather::SampledWeather sampled_;
    odds::Handling handling_;
    std::unique_ptr<odds::Surroundings> surroundings_;
};

/// Legs one after another, packed when the first begins.
inline transit::Trip trip_of(std::vector<transit::Leg> legs) {
    transit::Trip trip;
    trip.packed = legs.front().start;
    trip.legs = std::move(legs);
    for (std::size_t i = 0; i < trip.legs.size(); ++i) trip.legs[i].part = i;
    return trip;
}

/// The same trip whatever happens, never late.
inline odds::TripCases always(const transit::Trip& trip) {
    odds::TripCases cases{trip, {trip}, {trip}, {0, 0}, {1}};
    cases.one_late.front().late.service_days = 1;
    cases.two_late.front().late.service_days = 2;
    return cases;
}

/// Air around the parcel of each point, [point][lane], in one block.
inline odds::BlockArrays filled(const RoomWorld& rooms, const transit::Trip& trip, double absorptance = 0.65,
                                std::uint32_t block = 0) {
    const odds::World world = rooms.world();
    const odds::Exposure exposure(trip, world, rooms.sampled().scenarios());
    odds::BlockArrays arrays;
    exposure.fill(block, absorptance, arrays);
    return arrays;
}

}  // namespace mildway::testing
