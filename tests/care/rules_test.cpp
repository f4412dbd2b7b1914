// The facts behind the expected rules are those of the sources that config/rules.json names; what a rule says
// is compared with its source by people, not here.
#include "mildway/care/rules.hpp"

#include "catch.hpp"

#include <algorithm>
#include <set>

using namespace mildway;
using namespace mildway::care;

namespace {

const SpeciesTable& starter_species() {
    static const auto table = SpeciesTable::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/species.json"));
    return table;
}

const RuleBook& starter_rules() {
    static const auto book =
        RuleBook::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/rules.json"), starter_species());
    return book;
}

RuleBook read(const std::string& rules) {
    return RuleBook::read(ConfigNode::parse("rules.json", "{\"rules\": [" + rules + "]}"), starter_species());
}

/// One rule with more keys than it needs.
std::string rule(const std::string& more, const std::string& id = "r") {
    return R"({"id": ")" + id + R"(", "question": "May it?", "source": "s", "as_read": "read")" +
           (more.empty() ? "" : ", " + more) + "}";
}

const Species& species(const char* name) {
    return starter_species().find(name);
}

std::vector<std::string> ids(const std::vector<Rule>& rules) {
    std::vector<std::string> all;
    for (const Rule& each : rules) all.push_back(each.id);
    return all;
}

std::vector<std::string> ids_for(const char* name, const Shipment& shipment) {
    return ids(starter_rules().rules_for(species(name), shipment));
}

bool has(const std::vector<std::string>& all, const std::string& id) {
    return std::find(all.begin(), all.end(), id) != all.end();
}

Rule only(const RuleBook& book, const Shipment& shipment, const char* name = "hermanns-tortoise") {
    const auto rules = book.rules_for(species(name), shipment);
    REQUIRE(rules.size() == 1);
    return rules.front();
}

std::vector<Shipment> lanes() {
    std::vector<Shipment> all;
    for (const char* origin : {"", "US", "US-NM", "CA-ON"}) {
        for (const char* destination : {"", "US", "US-NM", "US-MN", "US-HI", "US-GA", "US-ME", "CA", "DE"})
            all.push_back({origin, {"US-TX"}, destination});
    }
    return all;
}

struct Expected {
    const char* species;
    Shipment shipment;
    std::vector<std::string> may_forbid;
    std::vector<std::string> ask;
};

}  // namespace

TEST_CASE("each species on each lane is shown its own rules") {
    // as facts are told in config/rules.json; "" is a place whose state is not known
    const Shipment to_minnesota{"US-NM", {"US-TX", "US-MO"}, "US-MN"};
    const std::vector<Expected> table{
        {"corn-snake", to_minnesota, {"state-entry"}, {"post-refuses", "marking", "carrier-contract"}},
        {"hermanns-tortoise",
         to_minnesota,
         {"small-turtles", "state-entry"},
         {"post-refuses", "marking", "carrier-contract"}},
        {"leopard-tortoise",
         to_minnesota,
         {"small-turtles", "tick-certificate", "state-entry"},
         {"post-refuses", "marking", "carrier-contract"}},
        {"sulcata-tortoise",
         {"US-NM", {}, "US-NM"},
         {"small-turtles", "state-entry"},
         {"post-refuses", "marking", "carrier-contract"}},
        {"crested-gecko",
         to_minnesota,
         {"state-entry"},
         {"post-takes-harmless-ones", "marking", "carrier-contract"}},
        {"dart-frog",
         {"US-NM", {}, "CA-ON"},
         {"cites", "border"},
         {"post-takes-harmless-ones", "marking", "carrier-contract"}},
        {"corn-snake",
         {"US-NM", {}, "US-HI"},
         {"snakes-to-hawaii", "state-entry"},
         {"post-refuses", "marking", "carrier-contract"}},
        {"dart-frog",
         {"US-NM", {}, "US-HI"},
         {"animals-to-hawaii", "state-entry"},
         {"post-takes-harmless-ones", "marking", "carrier-contract"}},
        {"corn-snake",
         {"US-NM", {}, "US-GA"},
         {"native-snakes-of-georgia", "state-entry"},
         {"post-refuses", "marking", "carrier-contract"}},
        {"ball-python",
         {"US-NM", {}, "US-ME"},
         {"list-of-maine", "state-entry"},
         {"post-refuses", "marking", "carrier-contract"}},
        {"leopard-tortoise",
         {"CA-ON", {}, "US-MN"},
         {"state-entry", "cites", "border", "african-tortoises-into-the-us", "other-countries"},
         {"carrier-contract"}},
        {"corn-snake", {"DE-BY", {}, "DE-BE"}, {"other-countries"}, {"carrier-contract"}},
    };
    for (const Expected& row : table) {
        CAPTURE(row.species, row.shipment.origin, row.shipment.destination);
        std::vector<std::string> expected = row.may_forbid;
        expected.insert(expected.end(), row.ask.begin(), row.ask.end());
        CHECK(ids_for(row.species, row.shipment) == expected);
    }
}

TEST_CASE("on every lane every rule has a question a source and how it was read") {
    for (const Species& each : starter_species().all()) {
        for (const Shipment& shipment : lanes()) {
            const auto rules = starter_rules().rules_for(each, shipment);
            CAPTURE(each.id, shipment.origin, shipment.destination);
            CHECK_FALSE(rules.empty());
            for (const Rule& one : rules) {
                CAPTURE(one.id);
                CHECK_THAT(one.text, Catch::Contains("?"));
                CHECK_FALSE(one.source.empty());
                CHECK_FALSE(one.as_read.empty());
            }
        }
    }
}

TEST_CASE("on every lane what may forbid comes first") {
    for (const Species& each : starter_species().all()) {
        for (const Shipment& shipment : lanes()) {
            const auto rules = starter_rules().rules_for(each, shipment);
            CAPTURE(each.id, shipment.origin, shipment.destination);
            CHECK(rules.front().may_forbid);
            CHECK(std::is_partitioned(rules.begin(), rules.end(),
                                      [](const Rule& one) { return one.may_forbid; }));
        }
    }
}

TEST_CASE("a rule of law that was not looked up says so") {
    for (const Rule& one : starter_rules().rules_for(species("corn-snake"), {"US-NM", {}, "US-HI"})) {
        if (one.id != "snakes-to-hawaii") continue;
        CHECK_THAT(one.source, Catch::Contains("from memory"));
        CHECK_THAT(one.as_read, Catch::Contains("not looked up"));
    }
    CHECK(has(ids_for("corn-snake", {"US-NM", {}, "US-HI"}), "snakes-to-hawaii"));
}

TEST_CASE("where a state is not known its rules are asked with if") {
    const auto rules = starter_rules().rules_for(species("corn-snake"), {"US-NM", {}, ""});
    for (const char* id : {"snakes-to-hawaii", "native-snakes-of-georgia", "list-of-maine", "border"}) {
        CAPTURE(id);
        const auto found =
            std::find_if(rules.begin(), rules.end(), [&](const Rule& one) { return one.id == id; });
        REQUIRE(found != rules.end());
        CHECK(found->only_if);
        CHECK(found->text.starts_with("If it "));
    }
    CHECK_FALSE(rules.back().only_if);
}

TEST_CASE("a known country alone leaves its states open and others out") {
    const auto rules = ids_for("corn-snake", {"US-NM", {}, "US"});
    CHECK(has(rules, "snakes-to-hawaii"));
    CHECK_FALSE(has(rules, "border"));
    CHECK_FALSE(has(ids_for("corn-snake", {"US-NM", {}, "CA"}), "snakes-to-hawaii"));
}

TEST_CASE("a way through another state crosses a line though it ends where it began") {
    CHECK_FALSE(has(ids_for("leopard-tortoise", {"US-NM", {"US-NM"}, "US-NM"}), "tick-certificate"));
    CHECK(has(ids_for("leopard-tortoise", {"US-NM", {"US-TX"}, "US-NM"}), "tick-certificate"));
}

TEST_CASE("a hub whose state is not known leaves the crossing open") {
    const auto book = read(rule(R"("crosses_state_line": true, "if": "it crosses a state line")"));
    CHECK(only(book, {"US-NM", {""}, "US-NM"}).only_if);
    CHECK_FALSE(only(book, {"US-NM", {"", "US-TX"}, "US-NM"}).only_if);
}

TEST_CASE("a shell under the limit forbids in plain words") {
    // 21 CFR 1240.62: under 4 inches; 4 x 25.4 mm = 101.6 mm
    const auto rules =
        starter_rules().rules_for(species("hermanns-tortoise"), {"US-NM", {}, "US-MN", {48.0}});
    CHECK(rules.front().id == "small-turtles");
    CHECK(rules.front().forbids);
    CHECK(rules.front().finding ==
          "Shell 48 mm is under 102 mm: this rule forbids the sale unless an exception is yours.");
}

TEST_CASE("a rule on small shells is for those under its limit alone") {
    const auto book = read(rule(R"("shell_under_mm": 101.6, "may_forbid": true)"));
    CHECK(only(book, {"", {}, "", {101.5}}).forbids);
    CHECK(book.rules_for(species("hermanns-tortoise"), {"", {}, "", {101.6}}).empty());
    CHECK(book.rules_for(species("hermanns-tortoise"), {"", {}, "", {150.0, 102.0}}).empty());
}

TEST_CASE("one small shell of several forbids") {
    const auto book = read(rule(R"("shell_under_mm": 101.6, "may_forbid": true)"));
    const Rule found = only(book, {"", {}, "", {150.0, 51.5, std::nullopt, 48.0}});
    CHECK(found.forbids);
    CHECK_THAT(found.finding, Catch::StartsWith("2 of 4 shells (51.5, 48 mm) are under 102 mm"));
}

TEST_CASE("a shell that is not measured is asked for and forbids nothing") {
    const auto book = read(rule(R"("shell_under_mm": 101.6, "may_forbid": true)"));
    const Rule one = only(book, {"", {}, "", {std::nullopt}});
    CHECK_FALSE(one.forbids);
    CHECK_THAT(one.finding, Catch::StartsWith("The shell is not measured"));
    CHECK_THAT(only(book, {"", {}, "", {150.0, std::nullopt}}).finding,
               Catch::StartsWith("Of 2 shells 1 is not measured"));
}

TEST_CASE("without animals a rule on shells is a question alone") {
    const Rule found = only(read(rule(R"("shell_under_mm": 101.6, "may_forbid": true)")), {});
    CHECK(found.finding.empty());
    CHECK_FALSE(found.forbids);
}

TEST_CASE("a small shell where it is not known that the rule applies forbids nothing for certain") {
    const auto book = read(
        rule(R"("shell_under_mm": 101.6, "may_forbid": true, "origin": ["US"], "if": "it is sold there")"));
    const Rule found = only(book, {"", {}, "", {48.0}});
    CHECK_FALSE(found.forbids);
    CHECK_THAT(found.finding, Catch::Contains("if it applies"));
}

TEST_CASE("rules are limited by group species and all but some species") {
    const auto book =
        read(rule(R"("groups": ["frog"])", "frogs") + "," + rule(R"("species": ["dart-frog"])", "one") + "," +
             rule(R"("not_species": ["dart-frog"])", "others"));
    CHECK(ids(book.rules_for(species("dart-frog"), {})) == std::vector<std::string>{"frogs", "one"});
    CHECK(ids(book.rules_for(species("whites-tree-frog"), {})) ==
          std::vector<std::string>{"frogs", "others"});
    CHECK(ids(book.rules_for(species("corn-snake"), {})) == std::vector<std::string>{"others"});
}

TEST_CASE("what forbids comes before what may and otherwise the order of the file stays") {
    const auto book = read(rule("", "1") + "," + rule(R"("may_forbid": true)", "2") + "," + rule("", "3") +
                           "," + rule(R"("may_forbid": true, "shell_under_mm": 100)", "4") + "," +
                           rule(R"("may_forbid": true)", "5"));
    CHECK(ids(book.rules_for(species("hermanns-tortoise"), {"", {}, "", {48.0}})) ==
          std::vector<std::string>{"4", "2", "5", "1", "3"});
}

TEST_CASE("a faulty rule is refused by its field") {
    const std::vector<std::pair<std::string, std::string>> faults{
        {rule(R"("groups": ["tortise"])"),
         "/rules/0/groups: no group is called 'tortise'; did you mean 'tortoise'?"},
        {rule(R"("species": ["corn-snak"])"),
         "/rules/0/species: no species is called 'corn-snak'; did you mean"},
        {rule(R"("not_species": [])"), "/rules/0/not_species: is empty"},
        {rule(R"("origin": ["Minnesota"], "if": "x")"), "/rules/0/origin: 'Minnesota' is no region"},
        {rule(R"("destination": [], "if": "x")"), "/rules/0/destination: is empty"},
        {rule(R"("crosses_border": true)"), "/rules/0/if: is missing"},
        {rule(R"("if": "it rains")"), "/rules/0/if: tells the limits on the lane"},
        {rule(R"("shell_under_mm": 100)"), "/rules/0/shell_under_mm: is for a rule that forbids"},
        {rule(R"("surprise": 1)"), "is not a key mildway knows here"},
        {rule("") + "," + rule(""), "/rules/1/id: is 'r', which another rule has already"},
        {R"({"id": "r", "question": "q?", "as_read": "read"})", "/rules/0/source: is missing"},
        {R"({"id": "r", "question": "q?", "source": "s"})", "/rules/0/as_read: is missing"},
    };
    for (const auto& [text, expected] : faults) {
        CAPTURE(text);
        CHECK_THROWS_WITH(read(text), Catch::Contains(expected));
    }
}

TEST_CASE("regions have the form of ISO 3166") {
    for (const char* good : {"US", "US-MN", "CA-ON", "DE-BY", "GB-ENG", "AT-9"}) CHECK(is_region(good));
    for (const char* bad : {"", "U", "us", "USA", "US-", "us-mn", "US-mn", "US-MINN", "MN US", "US MN"})
        CHECK_FALSE(is_region(bad));
}
