#include "mildway/box/wall.hpp"

#include "mildway/box/films.hpp"

#include "typical_inside.hpp"

#include <algorithm>
#include <stdexcept>

namespace mildway::box {

namespace {

// Where the inside film is taken: the difference is what the heat of one warmer, about 2 W, takes to pass the
// wall's inner face.
constexpr Kelvins kAirToWall{2.0};

}  // namespace

double face_area_m2(const std::array<double, 3>& sides_m) {
    const auto [a, b, c] = sides_m;
    return 2.0 * (a * b + a * c + b * c);
}

ShapeFactor shape_factor(const std::array<double, 3>& inner_m, double thickness_m) {
    const double shortest = *std::min_element(inner_m.begin(), inner_m.end());
    if (!(thickness_m > 0.0 && shortest > 0.0)) {
        throw std::invalid_argument("shape_factor: sides and thickness must be above 0");
    }
    const double edges_m = 4.0 * (inner_m[0] + inner_m[1] + inner_m[2]);
    return {face_area_m2(inner_m) / thickness_m, 0.54 * edges_m, 8 * 0.15 * thickness_m};
}

double shape_factor_m(const std::array<double, 3>& inner_m, double thickness_m) {
    return shape_factor(inner_m, thickness_m).whole_m();
}

Wall wall_of(const Packing& packing, WattsPerSquareMeterKelvin inside, double liner_c) {
    const Layer& board = packing.board;
    return {.inside_film = conductance(inside, face_area_m2(packing.inner_m)),
            .liner = WattsPerKelvin(packing.liner.material.conductivity_at(liner_c) *
                                    shape_factor_m(packing.inner_m, packing.liner.thickness_m)),
            .board = WattsPerKelvin(board.material.conductivity_at(liner_c) *
                                    face_area_m2(packing.around_liner_m()) / board.thickness_m),
            .outer_area_m2 = face_area_m2(packing.outer_m())};
}

WattsPerSquareMeterKelvin film_inside(const Packing& packing) {
    return packing.reflective_liner ? reflective_inside_film(kTypicalInside, kAirToWall)
                                    : inside_film(kTypicalInside, kAirToWall);
}

WattsPerKelvin whole_conductance(const Wall& wall, WattsPerSquareMeterKelvin outside) {
    return in_series(in_series(wall.inside_film, wall.liner),
                     in_series(wall.board, conductance(outside, wall.outer_area_m2)));
}

}  // namespace mildway::box
