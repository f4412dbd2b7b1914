// A source that is asked about each place once.
#include "mildway/weather/remembered.hpp"

#include "mildway/base/errors.hpp"

#include "catch.hpp"

using namespace mildway;
using namespace mildway::weather;

namespace {

/// Knows every place but "Nowhere"; counts what it is asked.
class Counting : public ForecastSource {
public:
    [[nodiscard]] std::string name() const override { return "counting"; }
    [[nodiscard]] Outlook outlook(const Place& place) const override {
        ++asked;
        if (place.name == "Nowhere") throw WeatherError("nobody knows Nowhere");
        Outlook outlook;
        outlook.source = place.name;
        return outlook;
    }
    [[nodiscard]] std::vector<Reading> climate(std::span<const Place> places, Instant,
                                               Instant) const override {
        climates += static_cast<int>(places.size());
        return std::vector<Reading>(places.size());
    }
    mutable int asked = 0;
    mutable int climates = 0;
};

Place place(const std::string& name, double latitude_deg) {
    return {name, latitude_deg, -100, "America/Chicago", Climate::elsewhere};
}

}  // namespace

TEST_CASE("A remembered place is not asked about again, nor twice in one question") {
    const Counting source;
    const RememberedSource remembered(source);
    const std::vector<Place> places{place("A", 40), place("B", 41), place("A", 40)};
    const auto first = remembered.read(places);
    const auto second = remembered.read(places);
    CHECK(source.asked == 2);
    REQUIRE(first.size() == 3);
    for (std::size_t i = 0; i < 3; ++i) {
        CHECK(first[i].outlook->source == places[i].name);
        CHECK(second[i].outlook->source == places[i].name);
    }
}

TEST_CASE("That a place has no forecast is remembered, too, with the reason") {
    const Counting source;
    const RememberedSource remembered(source);
    const Place nowhere = place("Nowhere", 42);
    CHECK_THROWS_WITH(remembered.outlook(nowhere), Catch::Contains("nobody knows Nowhere"));
    CHECK_THROWS_AS(remembered.outlook(nowhere), WeatherError);
    CHECK(source.asked == 1);
}

TEST_CASE("A climate is remembered by its reach") {
    const Counting source;
    const RememberedSource remembered(source);
    const std::vector<Place> places{place("A", 40)};
    const Instant from = date::sys_days(date::year{2027} / 3 / 1);
    (void)remembered.climate(places, from, from + hours(24));
    (void)remembered.climate(places, from, from + hours(24));
    CHECK(source.climates == 1);
    (void)remembered.climate(places, from, from + hours(48));
    CHECK(source.climates == 2);
}
