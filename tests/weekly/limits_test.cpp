// week.json as it is read, and its faults.
#include "mildway/weekly/limits.hpp"

#include "catch.hpp"
#include "plan_world.hpp"

using namespace mildway;
using weekly::Limits;

namespace {

Limits limits_of(const std::string& text) {
    return Limits::read(ConfigNode::parse("week.json", text), testing::starter());
}

Date day(const char* text) {
    return parse_date(text).value();
}

}  // namespace

TEST_CASE("an empty week file limits nothing") {
    const Limits limits = limits_of("{}");
    CHECK_FALSE(limits.boxes_per_day);
    CHECK_FALSE(limits.stock);
    CHECK(limits.worst_verdict == Verdict::tight);
    CHECK(limits.counter_trip_usd == 0);
}

TEST_CASE("the starter's week file is sound") {
    const Limits limits = Limits::load(testing::starter());
    CHECK(limits.boxes_per_day == 6);
    REQUIRE(limits.stock);
    CHECK(limits.stock->boxes.at("small-38") == 6);
}

TEST_CASE("days away hold both their ends") {
    const Limits limits = limits_of(R"({"days_away": [{"from": "2027-03-03", "until": "2027-03-05"}]})");
    CHECK_FALSE(limits.is_away(day("2027-03-02")));
    CHECK(limits.is_away(day("2027-03-03")));
    CHECK(limits.is_away(day("2027-03-05")));
    CHECK_FALSE(limits.is_away(day("2027-03-06")));
}

TEST_CASE("an unknown box is told with the nearest one") {
    CHECK_THROWS_WITH(limits_of(R"({"stock": {"counted_on": "2027-03-01", "boxes": {"small-91": 3}}})"),
                      Catch::Contains("small-91"));
}

TEST_CASE("faults in a week file name the field") {
    CHECK_THROWS_WITH(limits_of(R"({"boxes_per_day": 0})"), Catch::Contains("boxes_per_day"));
    CHECK_THROWS_WITH(limits_of(R"({"worst_verdict": "unsafe"})"), Catch::Contains("worst_verdict"));
    CHECK_THROWS_WITH(limits_of(R"({"days_away": [{"from": "2027-03-05", "until": "2027-03-01"}]})"),
                      Catch::Contains("/days_away/0/until"));
    CHECK_THROWS_WITH(limits_of(R"({"stock": {"counted_on": "1 March"}})"), Catch::Contains("counted_on"));
    CHECK_THROWS_WITH(limits_of(R"({"stock": {"counted_on": "2027-03-01", "warmers": {"slow-40h": -1}}})"),
                      Catch::Contains("slow-40h"));
    CHECK_THROWS_WITH(limits_of(R"({"boxes_a_day": 3})"), Catch::Contains("boxes_a_day"));
}
