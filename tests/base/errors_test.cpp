#include "mildway/base/errors.hpp"

#include "catch.hpp"

using namespace mildway;

TEST_CASE("The nearest name is the one a slip of the finger away") {
    const std::vector<std::string> names{"corn snake", "ball python", "crested gecko"};
    CHECK(nearest_name("corn snak", names) == "corn snake");
    CHECK(nearest_name("bal pyhton", names) == "ball python");
    CHECK(nearest_name("chameleon", names).empty());
    CHECK(nearest_name("x", {}).empty());
}

TEST_CASE("Between two near names the nearer one wins") {
    CHECK(nearest_name("vans", {"cans", "van"}) == "cans");
    CHECK(nearest_name("van", {"cans", "van"}) == "van");
}

TEST_CASE("An unknown name is answered with a guess and with all that is known") {
    CHECK(unknown_name_message("leg", "statoin", {"hub", "station"}) ==
          "no leg is called 'statoin'; did you mean 'station'? (known: hub, station)");
    CHECK(unknown_name_message("leg", "river", {"hub", "station"}) ==
          "no leg is called 'river' (known: hub, station)");
    CHECK(unknown_name_message("leg", "river", {}) == "no leg is called 'river' (known: none)");
}

TEST_CASE("An input error reads file then line then field") {
    CHECK(std::string(InputError("a.json", "/b", 3, "is odd").what()) == "a.json:3: /b: is odd");
    CHECK(std::string(InputError("a.json", "", 0, "is gone").what()) == "a.json: is gone");
}
