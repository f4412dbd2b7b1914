#include "mildway/base/json_answer.hpp"

#include "mildway/base/errors.hpp"

#include "catch.hpp"

#include <cmath>
#include <string>

using namespace mildway;

namespace {

std::string complaint(const std::string& text) {
    try {
        const JsonAnswer answer("a.json", text);
    } catch (const WeatherError& error) {
        return error.what();
    }
    return "";
}

template <class Read>
std::string complaint_of(const std::string& text, Read read) {
    const JsonAnswer answer("a.json", text);
    try {
        read(answer.root());
    } catch (const WeatherError& error) {
        return error.what();
    }
    return "";
}

}  // namespace

TEST_CASE("members of an answer are found by their keys") {
    const JsonAnswer answer("a.json", R"({"a": {"b": [1, 2.5, null]}, "c": "text"})");
    std::vector<double> numbers;
    answer.root().at("a").at("b").each(
        [&](const JsonValue& value) { numbers.push_back(value.number_or_nan()); });
    REQUIRE(numbers.size() == 3);
    CHECK(numbers[1] == 2.5);
    CHECK(std::isnan(numbers[2]));
    CHECK(answer.root().at("c").text() == "text");
    CHECK_FALSE(answer.root().find("d"));
}

TEST_CASE("a null member counts as absent where that is asked for") {
    const JsonAnswer answer("a.json", R"({"a": null})");
    CHECK(answer.root().find("a"));
    CHECK_FALSE(answer.root().find_known("a"));
}

TEST_CASE("an answer that is cut short is told from one that is wrong") {
    CHECK(complaint(R"({"a": [1, 2)") == "a.json: it is cut short: the JSON does not end");
    CHECK(complaint("{\"a\":\n1,\n}") == "a.json: it is not valid JSON (line 3)");
    CHECK(complaint("  \n") == "a.json: it is empty");
    CHECK(complaint("<html>") == "a.json: it is not valid JSON (line 1)");
}

TEST_CASE("an answer cut anywhere is refused") {
    const std::string whole = R"({"a": {"b": [1, -2.5e3, null, true]}, "c": "te\"xt"})";
    for (std::size_t end = 0; end < whole.size(); ++end) {
        CAPTURE(end);
        CHECK_FALSE(complaint(whole.substr(0, end)).empty());
    }
}

TEST_CASE("numbers beyond all bounds and endless nesting are refused") {
    CHECK_THAT(complaint(R"({"a": 1e999})"), Catch::Contains("a number beyond all bounds (line 1)"));
    CHECK_THAT(complaint(std::string(40, '[') + std::string(40, ']')),
               Catch::Contains("nested more than 32 deep"));
    CHECK_THAT(complaint(R"({"a": NaN})"), Catch::Contains("not valid JSON"));
}

TEST_CASE("an answer larger than allowed is not parsed") {
    try {
        const JsonAnswer answer("a.json", R"({"a": 1})", 4);
        FAIL("accepted");
    } catch (const WeatherError& error) {
        CHECK_THAT(error.what(), Catch::Contains("it has 8 bytes; expected at most 4"));
    }
}

TEST_CASE("a complaint about a value says where it stands") {
    const std::string text = R"({"list": [{"x": 1}, {"x": "one"}]})";
    const std::string said = complaint_of(text, [](const JsonValue& root) {
        root.at("list").each([](const JsonValue& item) { (void)item.at("x").number(); });
    });
    CHECK(said == "a.json: /list/1/x: is text; expected a number");
}

TEST_CASE("a key that stands twice is refused when it is asked for") {
    const std::string text = R"({"a": 1, "a": 2, "b": 3, "b": 4})";
    CHECK(complaint_of(text, [](const JsonValue& root) { (void)root.find("a"); }) ==
          "a.json: /a: stands twice; which one is meant cannot be told");
}

TEST_CASE("a value of another type is named as what it is") {
    const auto said = [](const char* text) {
        return complaint_of(text, [](const JsonValue& root) { (void)root.at("a").at("b"); });
    };
    CHECK_THAT(said(R"({"a": [1]})"), Catch::Contains("/a: is a list; expected an object"));
    CHECK_THAT(said(R"({"a": null})"), Catch::Contains("/a: is null; expected an object"));
    CHECK_THAT(said(R"({"a": true})"), Catch::Contains("/a: is true or false; expected an object"));
    CHECK_THAT(said(R"({"a": {}})"), Catch::Contains("/a: has no \"b\""));
}
