#include "mildway/base/config_reader.hpp"

#include "catch.hpp"

using mildway::ConfigNode;
using mildway::InputError;

namespace {

/// The complaint of a reader, or "" when it is content.
template <class Reader>
InputError complaint(const std::string& text, Reader read) {
    try {
        read(ConfigNode::parse("boxes.json", text));
    } catch (const InputError& error) {
        return error;
    }
    FAIL("nothing was complained about");
    throw std::logic_error("unreachable");
}

}  // namespace

TEST_CASE("A misspelt key is reported with its line and the key that was meant") {
    const auto error = complaint("{\n  \"depth_mm\": 3,\n  \"widht_mm\": 4\n}", [](const ConfigNode& node) {
        (void)node.number("depth_mm", {0, 10});
        (void)node.number_or("width_mm", 1, {0, 10});
        node.finish();
    });
    CHECK(std::string(error.what()) ==
          "boxes.json:3: /widht_mm: is not a key mildway knows here; did you mean 'width_mm'?");
    CHECK(error.line() == 3);
    CHECK(error.field() == "/widht_mm");
}

TEST_CASE("An unknown key that is close to nothing is reported without a guess") {
    const auto error = complaint("{\"colour\": 1}", [](const ConfigNode& node) {
        (void)node.has("width_mm");
        node.finish();
    });
    CHECK(std::string(error.what()) == "boxes.json:1: /colour: is not a key mildway knows here");
}

TEST_CASE("A field deep inside the file is named by its path and its own line") {
    const std::string text =
        "{\n  \"boxes\": [\n    {\"liner\": {\"mm\": 1}},\n    {\"liner\": {\n      \"mm\": -2}}\n  ]\n}";
    const auto error = complaint(text, [](const ConfigNode& node) {
        for (const auto& box : node.objects("boxes")) (void)box.object("liner").number("mm", {0, 100});
    });
    CHECK(std::string(error.what()) ==
          "boxes.json:5: /boxes/1/liner/mm: is -2; expected a number from 0 to 100");
}

TEST_CASE("A value of the wrong type is reported with what was expected") {
    const std::string text =
        R"({"n": "3", "t": 3, "f": "yes", "o": [], "l": {}, "ts": ["a", 1], "ns": [1, "a"]})";
    const auto of = [&](auto read) { return std::string(complaint(text, read).what()); };
    CHECK(of([](const ConfigNode& c) {
              (void)c.number("n", {0, 9});
          }) == "boxes.json:1: /n: is \"3\"; expected a number from 0 to 9");
    CHECK(of([](const ConfigNode& c) { (void)c.text("t"); }) ==
          "boxes.json:1: /t: is 3; expected text in quotes");
    CHECK(of([](const ConfigNode& c) { (void)c.flag_or("f", true); }) ==
          "boxes.json:1: /f: is \"yes\"; expected true or false");
    CHECK(of([](const ConfigNode& c) { (void)c.object("o"); }) ==
          "boxes.json:1: /o: expected an object, {...}");
    CHECK(of([](const ConfigNode& c) { (void)c.objects("l"); }) ==
          "boxes.json:1: /l: expected a list of objects, [{...}, {...}]");
    CHECK(of([](const ConfigNode& c) { (void)c.texts("ts"); }) ==
          "boxes.json:1: /ts: holds 1; expected only texts");
    CHECK(of([](const ConfigNode& c) { (void)c.numbers("ns"); }) ==
          "boxes.json:1: /ns: holds \"a\"; expected only numbers");
}

TEST_CASE("A key that is needed but misspelt is reported as misspelt and not only as missing") {
    const auto error = complaint("{\n  \"widht_mm\": 4\n}", [](const ConfigNode& node) {
        (void)node.number("width_mm", {0, 10});
    });
    CHECK(std::string(error.what()) ==
          "boxes.json:2: /widht_mm: is not a key mildway knows here; did you mean 'width_mm' (a number), "
          "which is missing?");
}

TEST_CASE("A number too large for a computer is an input error") {
    CHECK_THROWS_AS(ConfigNode::parse("boxes.json", "{\"width_mm\": 1e999}"), InputError);
}

TEST_CASE("A missing key is reported on the line of the object that lacks it") {
    const auto error = complaint("{\n\n  \"box\": {}\n}",
                                 [](const ConfigNode& node) { (void)node.object("box").text("name"); });
    CHECK(std::string(error.what()) == "boxes.json:3: /box/name: is missing; expected text in quotes");
}

TEST_CASE("Bounds of a number are inclusive") {
    const auto node = ConfigNode::parse("f", R"({"low": 0, "high": 1, "above": 1.0001})");
    CHECK(node.number("low", {0, 1}) == 0);
    CHECK(node.number("high", {0, 1}) == 1);
    CHECK_THROWS_AS(node.number("above", {0, 1}), InputError);
}

TEST_CASE("A whole number may not have a fraction") {
    const auto node = ConfigNode::parse("f", R"({"two": 2, "half": 2.5})");
    CHECK(node.whole("two", 0, 9) == 2);
    CHECK_THROWS_WITH(node.whole("half", 0, 9), "f:1: /half: is 2.5; expected a whole number");
}

TEST_CASE("A key that stands twice is an error though JSON would take the last") {
    const auto error = complaint("{\n\"a\": 1,\n\"b\": {\"c\": 1,\n\"c\": 2}}", [](const ConfigNode&) {});
    CHECK(std::string(error.what()) == "boxes.json:4: /b/c: this key stands twice");
}

TEST_CASE("Text that is not JSON is reported with the line where it breaks") {
    const auto error = complaint("{\n  \"a\": 1,\n  \"b\": 2\n  \"c\": 3\n}", [](const ConfigNode&) {});
    CHECK(error.line() == 4);
    CHECK(error.field().empty());
}

TEST_CASE("A file whose top is not an object is refused") {
    CHECK_THROWS_WITH(ConfigNode::parse("f", "[1, 2]"), "f:1: expected a JSON object, {...}, at the top");
}

TEST_CASE("A missing file is reported by its name") {
    CHECK_THROWS_WITH(ConfigNode::load("no_such_folder/boxes.json"),
                      "no_such_folder/boxes.json: there is no such file");
}

TEST_CASE("Defaults apply to absent keys only") {
    const auto node = ConfigNode::parse("f", R"({"n": 5, "w": 2, "t": "x", "b": true})");
    CHECK(node.number_or("n", 1, {0, 9}) == 5);
    CHECK(node.number_or("m", 1, {0, 9}) == 1);
    CHECK(node.whole_or("w", 7, 0, 9) == 2);
    CHECK(node.whole_or("v", 7, 0, 9) == 7);
    CHECK(node.text_or("t", "y") == "x");
    CHECK(node.text_or("u", "y") == "y");
    CHECK(node.flag_or("b", false));
    CHECK_FALSE(node.flag_or("c", false));
}

TEST_CASE("Named objects come in the order of the file") {
    const auto named = ConfigNode::parse("f", R"({"zinc": {"v": 1}, "air": {"v": 2}})").named_objects();
    REQUIRE(named.size() == 2);
    CHECK(named[0].first == "zinc");
    CHECK(named[1].first == "air");
    CHECK(named[1].second.number("v", {0, 9}) == 2);
}

TEST_CASE("A choice outside the list is answered with the list") {
    const auto node = ConfigNode::parse("f", R"({"side": "left", "way": "down"})");
    CHECK(node.choice("side", {"right", "left"}) == 1);
    CHECK_THROWS_WITH(node.choice("way", {"right", "left"}),
                      "f:1: /way: is 'down'; expected one of: right, left");
}
