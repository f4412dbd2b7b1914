// Student's t against Abramowitz and Stegun, Handbook of Mathematical Functions (1964), table 26.10. The rest
// of the room's arithmetic is tested by its results (fit_coverage_test).
#include "../../src/learning/student_t.hpp"

#include "catch.hpp"

using namespace mildway;

TEST_CASE("student quantile is that of the table") {
    CHECK(learning::student_t95(4) == Approx(2.132).margin(0.004));
    CHECK(learning::student_t95(5) == Approx(2.015).margin(0.002));
    CHECK(learning::student_t95(10) == Approx(1.812).margin(0.001));
    CHECK(learning::student_t95(30) == Approx(1.697).margin(0.001));
    CHECK(learning::student_t95(120) == Approx(1.658).margin(0.001));
}
