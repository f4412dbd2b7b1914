#include "mildway/base/csv.hpp"

#include "mildway/base/errors.hpp"

#include "catch.hpp"

using namespace mildway;

namespace {

using Cells = std::vector<std::string>;

std::vector<Cells> table(std::string_view text, CsvFormat format = {}) {
    CsvReader reader("table.csv", text, format);
    std::vector<Cells> all;
    CsvRecord record;
    while (reader.next(record)) all.push_back(record.cells);
    return all;
}

std::vector<int> lines(std::string_view text) {
    CsvReader reader("table.csv", text, {});
    std::vector<int> all;
    CsvRecord record;
    while (reader.next(record)) all.push_back(record.line);
    return all;
}

std::string complaint(std::string_view text, CsvFormat format = {}) {
    try {
        (void)table(text, format);
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

std::string text_complaint(std::string_view bytes) {
    try {
        (void)csv_text("table.csv", bytes);
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

}  // namespace

TEST_CASE("csv cells are parted by commas and records by line ends") {
    CHECK(table("a,b\n1,2\n") == std::vector<Cells>{{"a", "b"}, {"1", "2"}});
}

TEST_CASE("csv lines may end in CRLF or CR") {
    CHECK(table("a,b\r\n1,2\r\n") == std::vector<Cells>{{"a", "b"}, {"1", "2"}});
    CHECK(table("a,b\r1,2\r") == std::vector<Cells>{{"a", "b"}, {"1", "2"}});
}

TEST_CASE("csv needs no line end at the end and says whether there was one") {
    CsvReader reader("table.csv", "a\nb", {});
    CsvRecord record;
    REQUIRE(reader.next(record));
    CHECK(record.ended);
    REQUIRE(reader.next(record));
    CHECK(record.cells == Cells{"b"});
    CHECK_FALSE(record.ended);
    CHECK_FALSE(reader.next(record));
}

TEST_CASE("csv quotes hold separators and doubled quotes") {
    CHECK(table("\"a,b\",\"say \"\"no\"\"\"\n") == std::vector<Cells>{{"a,b", "say \"no\""}});
}

TEST_CASE("csv quotes hold line ends and the lines after are counted on") {
    CHECK(table("\"a\nb\",c\nd,e\n") == std::vector<Cells>{{"a\nb", "c"}, {"d", "e"}});
    CHECK(lines("\"a\nb\",c\nd,e\n") == std::vector<int>{1, 3});
}

TEST_CASE("csv empty cells are kept and empty lines passed over") {
    CHECK(table("a,,\n\n,b\n") == std::vector<Cells>{{"a", "", ""}, {"", "b"}});
    CHECK(lines("a\n\n\nb\n") == std::vector<int>{1, 4});
}

TEST_CASE("csv keeps blanks as RFC 4180 says") {
    CHECK(table(" a , b\n") == std::vector<Cells>{{" a ", " b"}});
}

TEST_CASE("csv takes another separator") {
    CHECK(table("a;b,c\n", {';'}) == std::vector<Cells>{{"a", "b,c"}});
}

TEST_CASE("csv separator is the one that is most often in the header outside quotes") {
    CHECK(csv_separator("Date,Time,Temp") == ',');
    CHECK(csv_separator("Date;Time;\"Temp, C, inside, upper\"") == ';');
    CHECK(csv_separator("Date\tTemp, C") == '\t');
    CHECK(csv_separator("Temperature") == ',');
}

TEST_CASE("csv says where a quote was opened that is never closed") {
    CHECK(complaint("a,b\n\"c,d\ne,f\n") == "table.csv:2: has a quote that is never closed");
}

TEST_CASE("csv refuses text beside a quoted cell") {
    CHECK_THAT(complaint("a\n\"b\" c\n"), Catch::StartsWith("table.csv:2: has text after a quoted cell"));
}

TEST_CASE("csv refuses a quote inside a bare cell") {
    CHECK_THAT(complaint("a\nb\nc\"d\n"), Catch::StartsWith("table.csv:3: has a quote inside a cell"));
}

TEST_CASE("csv refuses what is beyond its limits") {
    CHECK_THAT(complaint("a\nb\nc\n", {',', {2, 10, 10}}),
               Catch::StartsWith("table.csv:3: is beyond the 2 records"));
    CHECK_THAT(complaint("a,b,c\n", {',', {2, 2, 10}}),
               Catch::StartsWith("table.csv:1: has more than the 2 cells"));
    CHECK_THAT(complaint("abcdef\n", {',', {2, 2, 5}}),
               Catch::StartsWith("table.csv:1: has a cell of more than"));
    CHECK(complaint("ab,cd\nef\n", {',', {2, 2, 2}}).empty());
}

TEST_CASE("csv text loses its byte order mark") {
    CHECK(csv_text("table.csv",
                   "\xEF\xBB\xBF"
                   "a,b\n") == "a,b\n");
}

TEST_CASE("csv text that is empty or blank is refused") {
    CHECK(text_complaint("") == "table.csv: is empty; expected a table with a header");
    CHECK(text_complaint("\xEF\xBB\xBF \r\n\n") == "table.csv: is empty; expected a table with a header");
}

TEST_CASE("csv text in UTF-16 or with a zero byte is refused") {
    CHECK_THAT(text_complaint("\xFF\xFE"
                              "a"),
               Catch::Contains("UTF-16"));
    CHECK_THAT(text_complaint(std::string("a\nb\0c\n", 6)),
               Catch::StartsWith("table.csv:2: holds a zero byte"));
}

TEST_CASE("decimals are read whole or not at all") {
    CHECK(parse_decimal(" 21.5 ", false) == 21.5);
    CHECK(parse_decimal("-3", false) == -3.0);
    CHECK(parse_decimal("+3.25", false) == 3.25);
    CHECK(parse_decimal("1e2", false) == 100.0);
    for (const char* no : {"", " ", "21.5C", "--3", "+-3", "nan", "inf", "1e999", "0x10", "1.2.3", "12 3"})
        CHECK_FALSE(parse_decimal(no, false).has_value());
}

TEST_CASE("a decimal comma is read only where it is allowed") {
    CHECK(parse_decimal("21,5", true) == 21.5);
    CHECK(parse_decimal("21.5", true) == 21.5);
    CHECK_FALSE(parse_decimal("21,5", false).has_value());
    CHECK_FALSE(parse_decimal("1,234.5", true).has_value());
    CHECK_FALSE(parse_decimal("1,2,3", true).has_value());
}
