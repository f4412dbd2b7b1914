#include "layout.hpp"

#include "box_fixtures.hpp"
#include "catch.hpp"

#include <sstream>
#include <string>
#include <vector>

using namespace mildway::reports;

namespace {

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) lines.push_back(line);
    return lines;
}

std::vector<std::string> words_of(const std::string& text) {
    std::vector<std::string> words;
    std::istringstream in(text);
    for (std::string word; in >> word;) words.push_back(word);
    return words;
}

}  // namespace

TEST_CASE("width is counted in characters and not in bytes") {
    CHECK(display_width("") == 0);
    CHECK(display_width("13 C") == 4);
    CHECK(display_width("13 \u00b0C") == 5);
    CHECK(display_width("\u20ac\u00e9\U0001F438") == 3);
}

TEST_CASE("short text is padded on the right") {
    CHECK(fit("van", 5) == "van  ");
    CHECK(fit("\u00e9\u00e9", 4) == "\u00e9\u00e9  ");
    CHECK(fit("", 2) == "  ");
}

TEST_CASE("text as wide as its column stays whole") {
    CHECK(fit("station", 7) == "station");
}

TEST_CASE("long text ends in a tilde at its width") {
    CHECK(fit("held at counter", 8) == "held at~");
}

TEST_CASE("text is never cut inside a character") {
    CHECK(fit("\u00e9\u00e9\u00e9\u00e9", 3) == "\u00e9\u00e9~");
    CHECK(display_width(fit("30 \u00b0C 30 \u00b0C", 5)) == 5);
}

TEST_CASE("numbers are padded on the left and never cut") {
    CHECK(fit_right("7", 3) == "  7");
    CHECK(fit_right("\u00b0", 2) == " \u00b0");
    CHECK(fit_right("1234", 3) == "1234");
}

TEST_CASE("a paragraph that fits stays on one line") {
    CHECK(paragraph("  - ", "Wash hands.") == "  - Wash hands.\n");
}

TEST_CASE("a paragraph without words is its beginning alone") {
    CHECK(paragraph("  ", "") == "  \n");
}

TEST_CASE("later lines of a paragraph hang under the first") {
    const auto lines = lines_of(paragraph("  ! ", std::string(60, 'a') + " " + std::string(40, 'b')));
    REQUIRE(lines.size() == 2);
    CHECK(lines[0] == "  ! " + std::string(60, 'a'));
    CHECK(lines[1] == "    " + std::string(40, 'b'));
}

TEST_CASE("a line of exactly eighty columns is not broken") {
    CHECK(lines_of(paragraph("", std::string(39, 'a') + " " + std::string(40, 'b'))).size() == 1);
    CHECK(lines_of(paragraph("", std::string(40, 'a') + " " + std::string(40, 'b'))).size() == 2);
}

TEST_CASE("the columns of a line are counted in characters") {
    std::string degrees;
    for (int i = 0; i < 39; ++i) degrees += "\u00b0";
    CHECK(lines_of(paragraph("", degrees + " " + degrees + " a")).size() == 2);
    CHECK(lines_of(paragraph("", degrees + " " + degrees)).size() == 1);
}

TEST_CASE("a word longer than a line stands alone and whole") {
    const auto lines = lines_of(paragraph("  ", "see " + std::string(100, 'x') + " there"));
    CHECK(lines == std::vector<std::string>{"  see", "  " + std::string(100, 'x'), "  there"});
}

TEST_CASE("several blanks between words become one") {
    CHECK(paragraph("", " a   b  ") == "a b\n");
}

TEST_CASE("any text keeps its words in order and fits its lines") {
    mildway::testing::Dice dice(11);
    for (int round = 0; round < 300; ++round) {
        std::string text;
        const std::size_t count = dice.below(60);
        for (std::size_t i = 0; i < count; ++i) {
            text += " ";
            const std::size_t length = 1 + dice.below(20);
            for (std::size_t letter = 0; letter < length; ++letter)
                text += dice.below(4) == 0 ? "\u00e9" : "x";
        }
        const std::string laid = paragraph("    ", text);
        REQUIRE(words_of(laid) == words_of(text));
        for (const auto& line : lines_of(laid)) {
            REQUIRE(display_width(line) <= kColumns);
            REQUIRE((line.empty() || line.back() != ' ' || count == 0));
        }
    }
}
