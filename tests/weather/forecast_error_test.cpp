#include "mildway/weather/forecast_error.hpp"

#include "catch.hpp"

using namespace mildway;
using namespace mildway::weather;

namespace {

Date on(unsigned month, unsigned day) {
    return date::year(2027) / static_cast<int>(month) / static_cast<int>(day);
}

}  // namespace

TEST_CASE("seasons are those of the meteorologist") {
    CHECK(season_of(on(12, 1), 45) == Season::winter);
    CHECK(season_of(on(2, 28), 45) == Season::winter);
    CHECK(season_of(on(3, 1), 45) == Season::spring);
    CHECK(season_of(on(6, 1), 45) == Season::summer);
    CHECK(season_of(on(9, 1), 45) == Season::autumn);
}

TEST_CASE("seasons turn round south of the equator") {
    CHECK(season_of(on(1, 15), -33) == Season::summer);
    CHECK(season_of(on(4, 15), -33) == Season::autumn);
    CHECK(season_of(on(7, 15), -33) == Season::winter);
    CHECK(season_of(on(10, 15), -33) == Season::spring);
}

TEST_CASE("the error grows with the lead as tabled in the model") {
    // the table "resulting sigma" that docs/model.md gives
    const auto winter_high = [](double lead_h) {
        return error_sd_k(Phase::high, Season::winter, Climate::elsewhere, lead_h);
    };
    CHECK(winter_high(24) == Approx(1.87).margin(0.006));
    CHECK(winter_high(72) == Approx(2.66).margin(0.006));
    CHECK(winter_high(168) == Approx(4.63).margin(0.006));
    CHECK(winter_high(336) == Approx(6.40).margin(0.006));
    CHECK(error_sd_k(Phase::low, Season::summer, Climate::elsewhere, 120) == Approx(1.83).margin(0.006));
}

TEST_CASE("a valid time before the issue counts as no lead") {
    CHECK(error_sd_k(Phase::low, Season::spring, Climate::elsewhere, -5) ==
          error_sd_k(Phase::low, Season::spring, Climate::elsewhere, 0));
    CHECK(error_sd_k(Phase::low, Season::spring, Climate::elsewhere, 0) == Approx(1.55).margin(1e-12));
}

TEST_CASE("mountain nights are harder to forecast than tropical ones") {
    const double mountain = error_sd_k(Phase::low, Season::winter, Climate::western_mountain, 0);
    const double tropical = error_sd_k(Phase::low, Season::winter, Climate::tropical, 0);
    CHECK(mountain == Approx(1.25 * 1.75).margin(1e-12));
    CHECK(tropical == Approx(0.85 * 1.75).margin(1e-12));
}

TEST_CASE("where the sea rules the climate errors grow less with the lead") {
    const double inland = error_sd_k(Phase::high, Season::winter, Climate::elsewhere, 1000);
    CHECK(inland == Approx(6.6).margin(0.001));
    CHECK(error_sd_k(Phase::high, Season::winter, Climate::tropical, 1000) == Approx(2.2).margin(0.001));
    CHECK(error_sd_k(Phase::low, Season::winter, Climate::pacific_coast, 1000) == Approx(2.8).margin(0.001));
}

TEST_CASE("in every climate and season the error grows with the lead") {
    for (int climate = 0; climate <= static_cast<int>(Climate::alaska); ++climate) {
        for (const Season season : {Season::winter, Season::spring, Season::summer, Season::autumn}) {
            for (const Phase phase : {Phase::low, Phase::high}) {
                INFO(climate);
                const double soon = error_sd_k(phase, season, static_cast<Climate>(climate), 12);
                CHECK(error_sd_k(phase, season, static_cast<Climate>(climate), 160) > 1.05 * soon);
            }
        }
    }
}

TEST_CASE("errors last longer at long lead but no longer than thirty hours") {
    CHECK(error_time_scale_h(0) == Approx(4).margin(1e-12));
    CHECK(error_time_scale_h(105) == Approx(10.873).margin(0.001));
    CHECK(error_time_scale_h(400) == 30);
}

TEST_CASE("places on one spot share their error and others never wholly") {
    CHECK(error_correlation(0, Phase::high, Season::spring, 24) == 1);
    CHECK(error_correlation(0.99, Phase::high, Season::spring, 24) == 1);
    CHECK(error_correlation(1.01, Phase::high, Season::spring, 24) < 0.75);
}

TEST_CASE("errors hang together further in winter by day and at long lead") {
    const double summer_night = error_correlation(300, Phase::low, Season::summer, 24);
    const double summer_day = error_correlation(300, Phase::high, Season::summer, 24);
    const double winter_day = error_correlation(300, Phase::high, Season::winter, 24);
    const double winter_later = error_correlation(300, Phase::high, Season::winter, 96);
    CHECK(summer_night < summer_day);
    CHECK(summer_day < winter_day);
    CHECK(winter_day < winter_later);
}
