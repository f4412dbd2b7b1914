#include "student_t.hpp"

namespace mildway::learning {

double student_t95(double freedom) {
    constexpr double z = 1.6448536269514722;
    const double z2 = z * z;
    const double v = freedom;
    const double g1 = z * (z2 + 1) / 4;
    const double g2 = z * (5 * z2 * z2 + 16 * z2 + 3) / 96;
    const double g3 = z * (3 * z2 * z2 * z2 + 19 * z2 * z2 + 17 * z2 - 15) / 384;
    const double g4 =
        z * (79 * z2 * z2 * z2 * z2 + 776 * z2 * z2 * z2 + 1482 * z2 * z2 - 1920 * z2 - 945) / 92160;
    return z + g1 / v + g2 / (v * v) + g3 / (v * v * v) + g4 / (v * v * v * v);
}

}  // namespace mildway::learning
