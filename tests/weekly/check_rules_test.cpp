#include "mildway/weekly/check_rules.hpp"

#include "catch.hpp"

using namespace mildway;
using weekly::CheckRules;

namespace {

CheckRules read(const std::string& text) {
    return CheckRules::read(ConfigNode::parse("week.json", text));
}

}  // namespace

TEST_CASE("Rules of the check that are not named have their usual values") {
    const CheckRules rules = read("{}");
    CHECK(rules.settles_at == 0.7);
    CHECK(rules.better_from_h == 1.0);
    CHECK(rules.not_better_below_h == 0.5);
}

TEST_CASE("Margins of the check that leave no room between them are refused") {
    CHECK_THROWS_WITH(read(R"({"better_from_h": 1, "not_better_below_h": 1})"),
                      Catch::Contains("not_better_below_h") && Catch::Contains("less than 'better_from_h'"));
}

TEST_CASE("Rules of the check out of range or unknown are refused by name") {
    CHECK_THROWS_WITH(read(R"({"settles_at": 1.2})"), Catch::Contains("settles_at"));
    CHECK_THROWS_WITH(read(R"({"settle_at": 0.5})"), Catch::Contains("settle_at"));
}
