// Services, lanes and dates at random, within what services.json may say.
#pragma once

#include "fixtures.hpp"

#include <random>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace mildway::transit::fixtures {

/// Four zones of the United States, one that never changes its clocks, and two that are half an hour off.
inline const std::vector<Place> kAllOver{kElPaso,
                                         kStLouis,
                                         kNewYork,
                                         kLosAngeles,
                                         place("Phoenix AZ", 33.45, -112.07, "America/Phoenix"),
                                         place("Pune", 18.52, 73.86, "Asia/Kolkata"),
                                         place("Adelaide SA", -34.93, 138.6, "Australia/Adelaide")};

/// Random numbers that are the same with every standard library.
class Dice {
public:
    explicit Dice(std::uint64_t seed) : engine_(seed) {}
    [[nodiscard]] std::size_t below(std::size_t count) { return static_cast<std::size_t>(engine_() % count); }
    [[nodiscard]] int between(int low, int high) {
        return low + static_cast<int>(below(static_cast<std::size_t>(high - low + 1)));
    }
    [[nodiscard]] bool one_in(std::size_t count) { return below(count) == 0; }
    template <class T>
    [[nodiscard]] const T& of(const std::vector<T>& values) {
        return values[below(values.size())];
    }

private:
    std::mt19937_64 engine_;
};

/// Writes one service with its options as services.json does.
class RandomService {
public:
    using Json = nlohmann::ordered_json;

    explicit RandomService(std::uint64_t seed) : dice_(seed) {
        json_ = {{"id", "s"}, {"label", "S"}, {"accepts", weekdays()}, {"delivers", weekdays()}};
        json_["closed"] = {"2027-03-15", "2027-11-08", "2028-02-29"};
        json_["early_closings"] = {{{"day", "christmas-eve"}, {"cut_off", "14:00"}}};
        json_["cut_off"] = "17:30";
        json_["hand_over"] = dice_.one_in(2) ? "16:30" : "17:30";
        json_["legs"] = Json::array();
        add_carrier_legs();
        add_last_legs();
        json_["late"] = {{"one_day", 0.03}, {"more_days", 0.01}, {"waits", waits()}};
        json_["price"] = {{"base_usd", 10}};
        if (dice_.one_in(2)) json_["options"] = options();
        json_["source"] = "made up for tests";
    }

    [[nodiscard]] Services read() const {
        const Json file{{"services", Json::array({json_})}};
        return Services::read(ConfigNode::parse("services.json", file.dump()),
                              {settings(), holidays(), kAllOver});
    }

private:
    static std::string clock(int minutes_of_day) {
        return fmt::format("{:02}:{:02}", minutes_of_day / 60, minutes_of_day % 60);
    }

    Json weekdays() {
        Json days = Json::array();
        for (const std::string& name : weekday_names()) {
            if (!dice_.one_in(4)) days.push_back(name);
        }
        if (days.empty()) days.push_back("Tue");
        return days;
    }

    /// On the clock, some time after the leg before; or after a while.
    Json next_end() {
        const int length = dice_.between(45, 800);
        now_ += length;
        if (dice_.one_in(4)) return {{"lasts_minutes", length}, {"spread_factor", 1.5}};
        return {{"clock", clock(now_ % 1440)}, {"on", "ship-day"}, {"plus_days", now_ / 1440}};
    }

    void add(const std::string& name, Json where, Json ends) {
        Json leg{{"name", name}, {"setting", dice_.one_in(2) ? "vehicle" : "warehouse"}};
        leg.update(where);
        leg["ends"] = std::move(ends);
        json_["legs"].push_back(leg);
    }

    void add_way(const std::string& from, const std::string& to) {
        const Json way{{"from", from}, {"to", to}};
        if (!dice_.one_in(2)) return add("way to " + to, way, next_end());
        const double share = 0.1 * dice_.between(1, 9);
        const auto part = [&](double a, double b) {
            Json stretch = way;
            stretch["shares"] = {a, b};
            return stretch;
        };
        add("first part to " + to, part(0, share), next_end());
        if (dice_.one_in(2)) add("standing on the way to " + to, part(share, share), next_end());
        add("last part to " + to, part(share, 1), next_end());
    }

    /// From the counter over its hubs to the destination; on a ship day and those after it.
    void add_carrier_legs() {
        add("counter", {{"place", "counter"}}, {{"clock", "18:15"}, {"on", "ship-day"}});
        now_ = 18 * 60 + 15;
        const int hubs = dice_.between(0, 2);
        std::vector<std::string> stops;
        for (int i = 0; i < hubs; ++i) {
            json_["hubs"].push_back(dice_.of(kAllOver).name);
            stops.emplace_back(i == 0 ? "hub" : "second-hub");
        }
        stops.emplace_back("destination");
        std::string here = "counter";
        for (const std::string& stop : stops) {
            add_way(here, stop);
            if (stop != "destination" && dice_.one_in(2))
                add("sorting at " + stop, {{"place", stop}}, next_end());
            here = stop;
        }
        json_["transit_service_days"] = std::max(1, now_ / 1440) + dice_.between(0, 1);
    }

    void add_last_legs() {
        const Json there{{"place", "destination"}};
        const int ready = dice_.between(7 * 60, 9 * 60);
        add("station", there, {{"clock", clock(ready)}, {"on", "delivery-day"}});
        if (dice_.one_in(2)) {
            add("van", there, {{"lasts_minutes", 90}});
        } else {
            add("van", there, {{"clock", clock(ready + 90)}, {"on", "delivery-day"}, {"at", "destination"}});
        }
        add("doorstep", there, {{"lasts_minutes", dice_.between(1, 200)}, {"spread_factor", 2}});
        json_["promised_by"] = clock(ready + 90 + dice_.between(0, 60));
    }

    /// After some of the carrier's legs that end by the clock, in equal shares.
    Json waits() {
        Json all = Json::array();
        const Json& legs = json_["legs"];
        for (std::size_t i = 0; i + 1 < legs.size(); ++i) {
            if (legs[i]["ends"].contains("clock") && !dice_.one_in(3))
                all.push_back({{"after", legs[i]["name"]}});
        }
        if (all.empty()) all.push_back({{"after", "station"}});
        for (Json& wait : all) {
            wait["share"] = 1.0 / static_cast<double>(all.size());
            if (dice_.one_in(3)) wait["setting"] = "parked-vehicle";
        }
        // one that stays whatever options are bought
        if (std::none_of(all.begin(), all.end(), [](const Json& w) { return w["after"] != "van"; }))
            all = {{{"after", "counter"}}};
        return all;
    }

    Json options() {
        const Json held{{"id", "held"},
                        {"label", "held"},
                        {"extra_usd", -2},
                        {"instead_of_legs_from", "van"},
                        {"delivers_also_on", {"Sat"}},
                        {"legs",
                         {{{"name", "shelf"},
                           {"setting", "indoors"},
                           {"place", "destination"},
                           {"ends", {{"clock", "15:00"}, {"on", "delivery-day"}, {"spread_minutes", 60}}}}}},
                        {"collection", {{"Mon-Fri", {"04:00", "18:00"}}, {"Sat", {"04:00", "13:00"}}}}};
        const Json saturday{{"id", "sat"},
                            {"label", "Sat"},
                            {"extra_usd", 16},
                            {"delivers_also_on", {"Sat"}},
                            {"only_then", true}};
        return {held, saturday};
    }

    Dice dice_;
    Json json_;
    int now_ = 0;  ///< minutes since the midnight before the ship day
};

}  // namespace mildway::transit::fixtures
