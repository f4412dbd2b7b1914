// Trips alone: 14 dates, 3 services, 10,000 destinations, laid in every lateness.
#include "mildway/odds/assess.hpp"

#include <iterator>
#include <random>
#include <string>
#include <vector>

#include <benchmark/benchmark.h>

using namespace mildway;
using namespace mildway::transit;

namespace {

constexpr int kOrders = 10'000;
constexpr int kDates = 14;

/// Destinations at random in four zones of the United States, so that no two lanes are alike.
std::vector<Place> destinations() {
    struct Region {
        const char* zone;
        double south_deg, north_deg, west_deg, east_deg;
    };
    constexpr Region kRegions[] = {{"America/Los_Angeles", 33, 48, -122, -117},
                                   {"America/Denver", 33, 47, -111, -104},
                                   {"America/Chicago", 30, 46, -97, -88},
                                   {"America/New_York", 31, 43, -83, -74}};
    std::mt19937_64 engine(2027);
    const auto between = [&](double low, double high) {
        return low + (high - low) * static_cast<double>(engine() >> 11) * 0x1p-53;
    };
    std::vector<Place> places;
    for (int i = 0; i < kOrders; ++i) {
        const Region& region = kRegions[static_cast<std::size_t>(i) % std::size(kRegions)];
        Place place;
        place.name = "Buyer " + std::to_string(i);
        place.latitude_deg = between(region.south_deg, region.north_deg);
        place.longitude_deg = between(region.west_deg, region.east_deg);
        place.zone = region.zone;
        places.push_back(place);
    }
    return places;
}

struct Shop {
    Shop() {
        const std::string folder = MILDWAY_SOURCE_DIR "/config/";
        settings = Settings::read(ConfigNode::load(folder + "settings.json"));
        holidays = Holidays::read(ConfigNode::load(folder + "holidays.json"));
        const std::vector<Place> hubs{{"St. Louis MO", 38.7487, -90.37, "America/Chicago", {}}};
        services = Services::read(ConfigNode::load(folder + "services.json"), {settings, holidays, hubs});
        for (const char* id : {"night-air", "night-air+held", "two-day"})
            chosen.push_back(&services.find(id));
    }
    Settings settings;
    Holidays holidays;
    Services services;
    std::vector<const Service*> chosen;
    Start start{{"Las Cruces NM", 32.3199, -106.7637, "America/Denver", {}},
                {"El Paso TX", 31.7619, -106.485, "America/Denver", {}}};
    HandOver hand_over{minutes(50), minutes(30), minutes(0)};
    Instant now = *parse_instant("2027-03-01T13:00:00Z");
    Date first{date::year{2027} / 3 / 1};
};

/// Calls each(route, date) for every order, service and date; routes are built within the time.
template <class Each>
void for_all(const Shop& shop, const std::vector<Place>& places, const Each& each) {
    for (const Place& place : places) {
        for (const Service* service : shop.chosen) {
            const Route route(*service, shop.settings, lane_of(*service, shop.start, place), shop.hand_over);
            for (int day = 0; day < kDates; ++day)
                each(route, Date{date::sys_days(shop.first) + date::days(day)});
        }
    }
}

void report(benchmark::State& state, std::size_t trips, std::size_t asked) {
    const auto rounds = static_cast<double>(state.iterations());
    state.counters["combinations"] = static_cast<double>(asked) / rounds;
    state.counters["trips"] = static_cast<double>(trips) / rounds;
    state.counters["trips_per_s"] =
        benchmark::Counter(static_cast<double>(trips), benchmark::Counter::kIsRate);
}

/// On time alone: weekends included, on which there is no trip.
void on_time(benchmark::State& state) {
    const Shop shop;
    const auto places = destinations();
    std::size_t trips = 0, asked = 0;
    for (auto _ : state) {
        for_all(shop, places, [&](const Route& route, Date date) {
            auto laid = route.lay(date, shop.now);
            benchmark::DoNotOptimize(laid);
            ++asked;
            trips += std::holds_alternative<Trip>(laid);
        });
    }
    report(state, trips, asked);
}

/// And one and two days late after every leg that the service has late parcels wait after.
void with_late_cases(benchmark::State& state) {
    const Shop shop;
    const auto places = destinations();
    std::size_t trips = 0, asked = 0;
    for (auto _ : state) {
        for_all(shop, places, [&](const Route& route, Date date) {
            auto laid = odds::lay_cases(route, date, shop.now);
            benchmark::DoNotOptimize(laid);
            ++asked;
            if (const auto* cases = std::get_if<odds::TripCases>(&laid))
                trips += 1 + cases->one_late.size() + cases->two_late.size();
        });
    }
    report(state, trips, asked);
}

BENCHMARK(on_time)->Name("trips/14_dates_3_services_10000_orders/on_time")->Unit(benchmark::kSecond);
BENCHMARK(with_late_cases)->Name("trips/14_dates_3_services_10000_orders")->Unit(benchmark::kSecond);

}  // namespace
