// The wall of a parcel: what it conducts.
#pragma once

#include "mildway/base/units.hpp"
#include "mildway/box/packing.hpp"

#include <array>

namespace mildway::box {

/// All six faces of a box.
[[nodiscard]] double face_area_m2(const std::array<double, 3>& sides_m);

/// Where a hollow box conducts, m: conduction = k * S.
struct ShapeFactor {
    double faces_m = 0;
    double edges_m = 0;
    double corners_m = 0;
    [[nodiscard]] double whole_m() const { return faces_m + edges_m + corners_m; }
};

/// Conduction shape factor of a hollow box, m: conduction = k * S. Inner faces over thickness, plus 0.54 m
/// for each metre of inner edge, plus 0.15 t for each corner (Holman, Heat Transfer, Example 3-2; Incropera,
/// Table 4.1). Within 2 % of a three-dimensional solution where no inner side is shorter than the thickness;
/// for a cube half as wide as its wall is thick 10 % too much, a fifth as wide 48 %. Thickness > 0.
[[nodiscard]] ShapeFactor shape_factor(const std::array<double, 3>& inner_m, double thickness_m);
[[nodiscard]] double shape_factor_m(const std::array<double, 3>& inner_m, double thickness_m);

/// The layers of a wall, each as a conductance; from the cavity outward: film, liner, board. The outside film
/// follows on `outer_area_m2`.
struct Wall {
    WattsPerKelvin inside_film;
    WattsPerKelvin liner;
    WattsPerKelvin board;
    double outer_area_m2 = 0;
};
/// `liner_c`: mean temperature of liner and board, degC.
[[nodiscard]] Wall wall_of(const Packing& packing, WattsPerSquareMeterKelvin inside, double liner_c = 24);

/// The film on the liner's inner face, paper or foil, at the temperatures of a typical parcel.
[[nodiscard]] WattsPerSquareMeterKelvin film_inside(const Packing& packing);

/// All layers of a wall and its outside film, one behind the other.
[[nodiscard]] WattsPerKelvin whole_conductance(const Wall& wall, WattsPerSquareMeterKelvin outside);

}  // namespace mildway::box
