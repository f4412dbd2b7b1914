// Sun on a surface and on a box, against published balances and geometry.
#include "mildway/odds/sol_air.hpp"

#include "mildway/box/films.hpp"
#include "mildway/transit/setting.hpp"

#include "catch.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

using namespace mildway;
using namespace mildway::odds;

TEST_CASE("a sunlit absorber takes up the heat of the textbook balance") {
    // Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, Example 12.11 (published; read in a
    // transcription): absorptance 0.95, emissivity 0.1, 750 W/m2, surface 120, air 30, sky -10 degC,
    // convection 0.22 dT^(1/3): 515.6 W/m2, 0.688 of the sun.
    const double surface_c = 120, air_c = 30, sky_c = -10;
    const double convection = 0.22 * std::cbrt(surface_c - air_c);
    const double surface_k = surface_c + 273, sky_k = sky_c + 273;  // as the book rounds
    const double radiation = 0.1 * 5.67e-8 * (surface_k * surface_k + sky_k * sky_k) * (surface_k + sky_k);
    const WattsPerSquareMeterKelvin film(convection + radiation);
    // what the sky takes from a surface at the temperature of the air is the sol-air form's second term
    const double sol_air_c =
        air_c + sol_air_lift(0.95, 750, film).value() - radiation * (air_c - sky_c) / film.value();
    const double taken_up_w_per_m2 = film.value() * (sol_air_c - surface_c);
    CHECK(taken_up_w_per_m2 == Approx(515.6).epsilon(0.005));
    CHECK(taken_up_w_per_m2 / 750 == Approx(0.688).epsilon(0.005));
}

TEST_CASE("the sol-air temperature of dark and light roofs is that of the handbook") {
    // ASHRAE Handbook of Fundamentals; SI coefficients from memory: film 17 W/(m2 K), absorptance over film
    // 0.052 (dark) and 0.026 (light) m2 K/W, a clear sky takes 4 K from a level surface and none from a wall
    const WattsPerSquareMeterKelvin film(17);
    const double outside_c = 35, sun_w_per_m2 = 900, sky_k = 4;
    const double dark_k = sol_air_lift(0.052 * 17, sun_w_per_m2, film).value();
    const double light_k = sol_air_lift(0.026 * 17, sun_w_per_m2, film).value();
    CHECK(outside_c + dark_k - sky_k == Approx(77.8).margin(0.1));
    CHECK(outside_c + light_k - sky_k == Approx(54.4).margin(0.1));
    CHECK(outside_c + dark_k == Approx(81.8).margin(0.1));
}

namespace {

/// Mean sun on the five faces in the air of a box of 330 x 280 x 230 mm under a clear sky, W/m2, by adding up
/// bearings. Direct sun: Meinel and Meinel 1976, 1353 W/m2 x 0.7^(air mass^0.678); scattered sun a tenth more
/// on the level; ground reflecting 0.2 (all from memory).
double clear_sun_on_box(double elevation_deg) {
    const double sine = std::sin(elevation_deg * std::numbers::pi / 180), cosine = std::sqrt(1 - sine * sine);
    const double direct = 1353 * std::pow(0.7, std::pow(1 / sine, 0.678));
    const double scattered = 0.1 * direct * sine, level = 1.1 * direct * sine;
    const double top_m2 = 0.33 * 0.28, long_m2 = 0.33 * 0.23, short_m2 = 0.28 * 0.23;
    double direct_w = 0;
    constexpr int kBearings = 360;
    for (int i = 0; i < kBearings; ++i) {
        const double bearing = 2 * std::numbers::pi * i / kBearings;
        direct_w += (top_m2 * sine + cosine * (long_m2 * std::abs(std::cos(bearing)) +
                                               short_m2 * std::abs(std::sin(bearing)))) *
                    direct / kBearings;
    }
    const double sides_m2 = 2 * (long_m2 + short_m2);
    const double rest_w = top_m2 * scattered + sides_m2 * (scattered / 2 + 0.2 * level / 2);
    return (direct_w + rest_w) / (top_m2 + sides_m2);
}

const transit::Setting& outdoors() {
    static const auto settings =
        transit::Settings::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/settings.json"));
    return settings.at(settings.find("outdoors"));
}

}  // namespace

TEST_CASE("a box in the open gets the sun that geometry says within its own spread") {
    const double elevation_deg = GENERATE(5.0, 10.0, 15.0, 20.0, 30.0, 45.0, 60.0, 75.0, 90.0);
    const double sine = std::sin(elevation_deg * std::numbers::pi / 180);
    const double share = std::min(1.0, 2 * sine);  // odds/surroundings.hpp
    const double spread = outdoors().sun_on_box_spread_w_per_m2 / outdoors().sun_on_box_w_per_m2;
    INFO(elevation_deg << " deg: " << clear_sun_on_box(elevation_deg) << " W/m2");
    CHECK(outdoors().sun_on_box_w_per_m2 * share == Approx(clear_sun_on_box(elevation_deg)).epsilon(spread));
}
