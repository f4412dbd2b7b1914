// The starter workspace, the demo's weather and short ways to plan with them.
#pragma once

#include "mildway/planning/plan.hpp"
#include "mildway/weather/recorded.hpp"

#include <functional>
#include <string>
#include <utility>
#include <vector>

namespace mildway::testing {

/// Monday morning of the demo week, three hours after its forecasts were issued.
inline Instant demo_now() {
    return *parse_instant("2027-03-01T13:00:00Z");
}

inline Date demo_monday() {
    return Date{date::year{2027} / 3 / 1};
}

inline const planning::Workspace& starter() {
    static const auto workspace = planning::Workspace::load(MILDWAY_SOURCE_DIR "/config");
    return workspace;
}

inline const weather::RecordedSource& demo_weather() {
    static const weather::RecordedSource source(MILDWAY_SOURCE_DIR "/fixtures/demo/weather");
    return source;
}

/// The demo's weather after a change.
class ChangedWeather : public weather::ForecastSource {
public:
    using Change = std::function<void(const Place&, weather::Outlook&)>;
    explicit ChangedWeather(Change change) : change_(std::move(change)) {}

    [[nodiscard]] std::string name() const override { return "the demo's weather, changed"; }
    [[nodiscard]] weather::Outlook outlook(const Place& place) const override {
        weather::Outlook outlook = demo_weather().outlook(place);
        change_(place, outlook);
        return outlook;
    }

private:
    Change change_;
};

/// Forecasts of the demo without those of one place.
class WithoutPlace : public weather::ForecastSource {
public:
    explicit WithoutPlace(std::string place) : place_(std::move(place)) {}
    [[nodiscard]] std::string name() const override { return "the demo's weather"; }
    [[nodiscard]] weather::Outlook outlook(const Place& place) const override {
        if (place.name == place_) throw WeatherError("no forecast for " + place_);
        return demo_weather().outlook(place);
    }

private:
    std::string place_;
};

/// The same everywhere, so many kelvins warmer.
inline ChangedWeather warmed(double kelvins) {
    return ChangedWeather([kelvins](const Place&, weather::Outlook& outlook) {
        for (auto& member : outlook.temp_c) {
            for (double& temp_c : member) temp_c += kelvins;
        }
    });
}

struct Order {
    std::string to = "Duluth MN";
    std::string species = "corn snake";
    int count = 1;
    std::vector<std::string> services{};  ///< none: all
    std::vector<std::string> packings{};  ///< none: all
    int days = 3;                         ///< after Wednesday a two-day parcel may outlast the forecasts
    std::uint32_t scenarios = 512;
    std::uint64_t seed = 1;
    unsigned threads = 2;
};

inline planning::PlanRequest request_for(const Order& order,
                                         const planning::Workspace& workspace = starter()) {
    planning::PlanRequest request;
    request.destination = *workspace.find_place(order.to);
    request.species = &workspace.species.find(order.species);
    request.contents = {order.count, request.species->mass_g / 1000};
    request.from = demo_monday();
    request.days = order.days;
    for (const auto& id : order.services) request.services.push_back(&workspace.services.find(id));
    for (const auto& id : order.packings) request.packings.push_back(&workspace.packings.find(id));
    if (order.services.empty()) {
        for (const auto& service : workspace.services.all()) request.services.push_back(&service);
    }
    if (order.packings.empty()) {
        for (const auto& packing : workspace.packings.all()) request.packings.push_back(&packing);
    }
    request.scenarios = order.scenarios;
    request.seed = order.seed;
    request.threads = order.threads;
    request.now = demo_now();
    return request;
}

inline planning::Plan plan_for(const Order& order) {
    return planning::make_plan(starter(), demo_weather(), request_for(order));
}

/// What tells an option from the others of its plan.
inline std::string key_of(const planning::Option& option) {
    return format_date(option.ship_date) + " " + option.service->id + " " + option.packing->id;
}

inline const planning::Option& find_option(const planning::Plan& plan, const std::string& key) {
    for (const auto& option : plan.options) {
        if (key_of(option) == key) return option;
    }
    throw std::runtime_error("no option " + key);
}

}  // namespace mildway::testing
