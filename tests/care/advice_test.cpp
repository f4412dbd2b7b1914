#include "mildway/care/advice.hpp"

#include "catch.hpp"

#include <algorithm>

using namespace mildway;
using namespace mildway::care;

namespace {

const SpeciesTable& starter_species() {
    static const auto table = SpeciesTable::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/species.json"));
    return table;
}

const AdviceBook& starter_advice() {
    static const auto book =
        AdviceBook::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/advice.json"), starter_species());
    return book;
}

AdviceBook read(const std::string& papers, const std::string& cautions) {
    const auto text = "{\"papers\": [" + papers + "], \"cautions\": [" + cautions + "]}";
    return AdviceBook::read(ConfigNode::parse("advice.json", text), starter_species());
}

std::vector<std::string> texts(const std::vector<Advice>& advice) {
    std::vector<std::string> all;
    for (const Advice& each : advice) all.push_back(each.text);
    return all;
}

/// Whether one of the paper questions for the species cites the rule.
bool asks_about(const char* species, const std::string& rule) {
    const auto papers = starter_advice().papers(starter_species().find(species));
    return std::any_of(papers.begin(), papers.end(),
                       [&](const Advice& each) { return each.source.find(rule) != std::string::npos; });
}

}  // namespace

TEST_CASE("Advice without a limit is for every species") {
    const auto book = read(R"({"text": "a?", "source": "s"})", R"({"text": "b", "source": "s"})");
    for (const Species& species : starter_species().all()) {
        CHECK(texts(book.papers(species)) == std::vector<std::string>{"a?"});
        CHECK(texts(book.cautions(species, {})) == std::vector<std::string>{"b"});
    }
}

TEST_CASE("Advice is limited by group and by species") {
    const auto book = read(
        R"({"text": "frogs", "source": "s", "groups": ["frog"]},
           {"text": "this frog", "source": "s", "species": ["dart-frog"]})",
        "");
    CHECK(texts(book.papers(starter_species().find("dart-frog"))) ==
          std::vector<std::string>{"frogs", "this frog"});
    CHECK(texts(book.papers(starter_species().find("whites-tree-frog"))) ==
          std::vector<std::string>{"frogs"});
    CHECK(book.papers(starter_species().find("corn-snake")).empty());
}

TEST_CASE("Papers that may forbid the sale come first and otherwise the order of the file stays") {
    const auto book = read(
        R"({"text": "1", "source": "s"}, {"text": "2", "source": "s", "may_forbid": true},
           {"text": "3", "source": "s"}, {"text": "4", "source": "s", "may_forbid": true})",
        "");
    CHECK(texts(book.papers(starter_species().find("corn-snake"))) ==
          std::vector<std::string>{"2", "4", "1", "3"});
}

TEST_CASE("Cautions about warmers are shown with a warmer only") {
    const auto book = read(
        "", R"({"text": "air", "source": "s"}, {"text": "hot", "source": "s", "only_with_warmer": true})");
    const Species& snake = starter_species().find("corn-snake");
    CHECK(texts(book.cautions(snake, {})) == std::vector<std::string>{"air"});
    CHECK(texts(book.cautions(snake, {.warmer = true})) == std::vector<std::string>{"air", "hot"});
}

TEST_CASE("Cautions about coolants are shown with a coolant only") {
    const auto book = read("", R"({"text": "wet", "source": "s", "only_with_coolant": true})");
    const Species& snake = starter_species().find("corn-snake");
    CHECK(book.cautions(snake, {.warmer = true}).empty());
    CHECK(texts(book.cautions(snake, {.coolant = true})) == std::vector<std::string>{"wet"});
}

TEST_CASE("An unknown group or species in a limit is answered with the nearest") {
    CHECK_THROWS_WITH(
        read(R"({"text": "t", "source": "s", "groups": ["tortise"]})", ""),
        Catch::Contains("/papers/0/groups: no group is called 'tortise'; did you mean 'tortoise'?"));
    CHECK_THROWS_WITH(read("", R"({"text": "t", "source": "s", "species": ["corn-snak"]})"),
                      Catch::Contains("/cautions/0/species: no species is called 'corn-snak'; did you mean"));
}

TEST_CASE("An empty limit is refused rather than read as everywhere") {
    CHECK_THROWS_WITH(read(R"({"text": "t", "source": "s", "groups": []})", ""), Catch::Contains("is empty"));
}

TEST_CASE("Advice without a source is refused") {
    CHECK_THROWS_WITH(read(R"({"text": "t"})", ""), Catch::Contains("/papers/0/source: is missing"));
    CHECK_THROWS_WITH(read("", R"({"text": "t"})"), Catch::Contains("/cautions/0/source: is missing"));
}

TEST_CASE("A key of the other list is an error") {
    CHECK_THROWS_WITH(read(R"({"text": "t", "source": "s", "only_with_warmer": true})", ""),
                      Catch::Contains("is not a key mildway knows here"));
    CHECK_THROWS_WITH(read("", R"({"text": "t", "source": "s", "may_forbid": true})"),
                      Catch::Contains("is not a key mildway knows here"));
}

TEST_CASE("Every tortoise is asked first about the rule on small turtles") {
    for (const Species& species : starter_species().all()) {
        if (species.group != "tortoise") continue;
        CHECK_THAT(starter_advice().papers(species).front().source, Catch::Contains("21 CFR 1240.62"));
    }
}

TEST_CASE("The tick rule is asked of the African tortoises it names and of no other") {
    // 9 CFR 74.1 names leopard, African spurred and Bell's hingeback tortoise; the table holds the first two
    for (const Species& species : starter_species().all()) {
        const bool named = species.id == "leopard-tortoise" || species.id == "sulcata-tortoise";
        INFO(species.id);
        CHECK(asks_about(species.id.c_str(), "9 CFR 74.1") == named);
    }
}

TEST_CASE("Snakes and tortoises are told that the postal service refuses them") {
    CHECK(asks_about("ball-python", "525.3"));
    CHECK(asks_about("russian-tortoise", "525.3"));
    CHECK_FALSE(asks_about("leopard-gecko", "525.3"));
}

TEST_CASE("Every species is asked about state entry and the marking of the parcel") {
    for (const Species& species : starter_species().all()) {
        INFO(species.id);
        CHECK(asks_about(species.id.c_str(), "16 USC 3372(a)"));
        CHECK(asks_about(species.id.c_str(), "50 CFR 14.81"));
    }
}

TEST_CASE("Every paper of the starter advice is a question") {
    for (const Species& species : starter_species().all()) {
        for (const Advice& paper : starter_advice().papers(species)) {
            INFO(paper.text);
            CHECK_THAT(paper.text, Catch::Contains("?"));
        }
    }
}
