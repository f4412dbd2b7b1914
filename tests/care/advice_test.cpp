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

AdviceBook read(const std::string& cautions) {
    const auto text = "{\"cautions\": [" + cautions + "]}";
    return AdviceBook::read(ConfigNode::parse("advice.json", text), starter_species());
}

std::vector<std::string> texts(const std::vector<Advice>& advice) {
    std::vector<std::string> all;
    for (const Advice& each : advice) all.push_back(each.text);
    return all;
}

}  // namespace

TEST_CASE("Advice without a limit is for every species") {
    const auto book = read(R"({"text": "b", "source": "s"})");
    for (const Species& species : starter_species().all())
        CHECK(texts(book.cautions(species, {})) == std::vector<std::string>{"b"});
}

TEST_CASE("Advice is limited by group and by species") {
    const auto book = read(
        R"({"text": "frogs", "source": "s", "groups": ["frog"]},
           {"text": "this frog", "source": "s", "species": ["dart-frog"]})");
    CHECK(texts(book.cautions(starter_species().find("dart-frog"), {})) ==
          std::vector<std::string>{"frogs", "this frog"});
    CHECK(texts(book.cautions(starter_species().find("whites-tree-frog"), {})) ==
          std::vector<std::string>{"frogs"});
    CHECK(book.cautions(starter_species().find("corn-snake"), {}).empty());
}

TEST_CASE("Cautions about warmers are shown with a warmer only") {
    const auto book =
        read(R"({"text": "air", "source": "s"}, {"text": "hot", "source": "s", "only_with_warmer": true})");
    const Species& snake = starter_species().find("corn-snake");
    CHECK(texts(book.cautions(snake, {})) == std::vector<std::string>{"air"});
    CHECK(texts(book.cautions(snake, {.warmer = true})) == std::vector<std::string>{"air", "hot"});
}

TEST_CASE("Cautions about coolants are shown with a coolant only") {
    const auto book = read(R"({"text": "wet", "source": "s", "only_with_coolant": true})");
    const Species& snake = starter_species().find("corn-snake");
    CHECK(book.cautions(snake, {.warmer = true}).empty());
    CHECK(texts(book.cautions(snake, {.coolant = true})) == std::vector<std::string>{"wet"});
}

TEST_CASE("Cautions about packing are shown while packing only") {
    const auto book = read(R"({"text": "hot glue", "source": "s", "only_while_packing": true})");
    const Species& snake = starter_species().find("corn-snake");
    CHECK(book.cautions(snake, {.warmer = true, .coolant = true}).empty());
    CHECK(texts(book.cautions(snake, {.packing = true})) == std::vector<std::string>{"hot glue"});
}

TEST_CASE("An unknown group or species in a limit is answered with the nearest") {
    CHECK_THROWS_WITH(
        read(R"({"text": "t", "source": "s", "groups": ["tortise"]})"),
        Catch::Contains("/cautions/0/groups: no group is called 'tortise'; did you mean 'tortoise'?"));
    CHECK_THROWS_WITH(read(R"({"text": "t", "source": "s", "species": ["corn-snak"]})"),
                      Catch::Contains("/cautions/0/species: no species is called 'corn-snak'; did you mean"));
}

TEST_CASE("An empty limit is refused rather than read as everywhere") {
    CHECK_THROWS_WITH(read(R"({"text": "t", "source": "s", "groups": []})"), Catch::Contains("is empty"));
}

TEST_CASE("Advice without a source is refused") {
    CHECK_THROWS_WITH(read(R"({"text": "t"})"), Catch::Contains("/cautions/0/source: is missing"));
}

TEST_CASE("Papers in the file of advice are sent to the rules") {
    const std::string old = R"({"papers": [], "cautions": []})";
    CHECK_THROWS_WITH(AdviceBook::read(ConfigNode::parse("advice.json", old), starter_species()),
                      Catch::Contains("/papers: has moved to rules.json"));
}

TEST_CASE("Every animal brings the caution on hands and on heat tools to the packing table") {
    for (const Species& species : starter_species().all()) {
        if (species.group == "invertebrate") continue;
        const auto all = texts(starter_advice().cautions(species, {.packing = true}));
        const auto says = [&](const char* word) {
            return std::any_of(all.begin(), all.end(),
                               [&](const std::string& text) { return text.find(word) != std::string::npos; });
        };
        INFO(species.id);
        CHECK(says("Wash hands"));
        CHECK(says("heat gun"));
    }
}
