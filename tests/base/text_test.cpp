#include "mildway/base/text.hpp"

#include "catch.hpp"

using namespace mildway;

TEST_CASE("lower case changes ASCII letters and no other byte") {
    CHECK(lower_case("Duluth MN, 55802") == "duluth mn, 55802");
    CHECK(lower_case("T[\xC2\xB0"
                     "C] \xC3\x84") ==
          "t[\xC2\xB0"
          "c] \xC3\x84");
    CHECK(lower_case("").empty());
}

TEST_CASE("characters are counted as a person does") {
    CHECK(characters("22 \xC2\xB0"
                     "C") == 5);
    CHECK(characters("plain") == 5);
    CHECK(characters("") == 0);
}
