#include "mildway/odds/hazards.hpp"

#include "catch.hpp"

#include <string>

using namespace mildway;
using namespace mildway::odds;

namespace {

HazardRules read(const std::string& list) {
    return HazardRules::read(ConfigNode::parse("hazards.json", R"({"hazards": [)" + list + "]}"));
}

std::string rule(const std::string& fields) {
    return R"({"id": "it", "words": "snow", "at": "hub", "two_day_share": 0.2, "source": "test", )" + fields +
           "}";
}

std::string complaint(const std::string& list) {
    try {
        (void)read(list);
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

bool has(const std::string& text, const std::string& part) {
    INFO(text);
    CHECK(text.find(part) != std::string::npos);
    return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("a rule is read with its threshold and places") {
    const HazardRules rules = read(
        R"({"id": "it", "words": "heavy snow", "at": "ends", "kind": "snow", "above_mm": 150,
            "latitude_from_deg": 37, "odds_factor": 7, "two_day_share": 0.25, "group": "winter", "source": "x"})");
    REQUIRE(rules.all().size() == 1);
    const HazardRule& it = rules.all().front();
    CHECK(it.kind == HazardKind::snow);
    CHECK(it.threshold == 150);
    CHECK(it.places == std::vector{transit::Role::origin, transit::Role::destination});
    CHECK(it.latitude_from_deg == 37);
    CHECK(it.odds_factor == 7);
    CHECK(it.group == "winter");
    CHECK_FALSE(it.clock);
}

TEST_CASE("a rule for the hub holds at both hubs") {
    CHECK(read(rule(R"("kind": "fog", "odds_factor": 1.3)")).all().front().places ==
          std::vector{transit::Role::hub, transit::Role::second_hub});
}

TEST_CASE("a rule without a group is one of its own") {
    CHECK(read(rule(R"("kind": "thunder", "odds_factor": 2)")).all().front().group == "it");
}

TEST_CASE("a rule without latitudes holds at the poles") {
    CHECK(read(rule(R"("kind": "thunder", "odds_factor": 2)")).all().front().latitude_below_deg > 90);
}

TEST_CASE("no hazards at all may be asked about") {
    CHECK(read("").all().empty());
}

TEST_CASE("the rules of the starter workspace are read") {
    const auto rules = HazardRules::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/hazards.json"));
    CHECK(rules.all().size() == 15);
}

TEST_CASE("a threshold in the wrong unit is refused") {
    has(complaint(rule(R"("kind": "snow", "above_m_per_s": 18, "odds_factor": 2)")), "above_mm");
    has(complaint(rule(R"("kind": "thunder", "above_mm": 18, "odds_factor": 2)")), "above_mm");
}

TEST_CASE("a factor that would make bad weather good is refused") {
    has(complaint(rule(R"("kind": "thunder", "odds_factor": 0.5)")), "odds_factor");
}

TEST_CASE("codes of warnings are two capital letters") {
    has(complaint(rule(R"("kind": "alert", "alerts": ["Blizzard"], "odds_factor": 2)")),
        "two capital letters");
    has(complaint(rule(R"("kind": "alert", "alerts": [], "odds_factor": 2)")), "two capital letters");
}

TEST_CASE("a part of the day needs both its ends") {
    has(complaint(rule(R"("kind": "thunder", "clock_from": "21:00", "odds_factor": 2)")), "clock_until");
}

TEST_CASE("a part of the day of no length is refused") {
    has(complaint(
            rule(R"("kind": "thunder", "clock_from": "21:00", "clock_until": "21:00", "odds_factor": 2)")),
        "whole day");
}

TEST_CASE("latitudes that leave no place are refused") {
    has(complaint(rule(
            R"("kind": "thunder", "latitude_from_deg": 40, "latitude_below_deg": 37, "odds_factor": 2)")),
        "nowhere");
}

TEST_CASE("an id given twice is refused") {
    const std::string one = rule(R"("kind": "thunder", "odds_factor": 2)");
    has(complaint(one + "," + one), "second time");
}

TEST_CASE("a slip in a key of a rule is named") {
    has(complaint(rule(R"("kind": "thunder", "odds_factor": 2, "grop": "storm")")), "grop");
}
