#include "words.hpp"

#include "catch.hpp"

using namespace mildway;
using reports::capitalised;
using reports::chance_text;
using reports::days_text;
using reports::usd_text;

namespace {

std::vector<Date> days_of(date::year_month month, const std::vector<unsigned>& days) {
    std::vector<Date> all;
    for (const unsigned day : days) all.push_back(month / date::day(day));
    return all;
}

constexpr date::year_month kMarch = date::year{2027} / 3;

}  // namespace

TEST_CASE("chances are told in hundredths then thousandths then not at all") {
    CHECK(chance_text(1.0) == "nearly always");
    CHECK(chance_text(0.126) == "13 in 100");
    CHECK(chance_text(0.008) == "8 in 1000");
    CHECK(chance_text(0.0009) == "under 1 in 1000");
    CHECK(chance_text(0.0) == "under 1 in 1000");
}

TEST_CASE("cents are shown where there are any") {
    CHECK(usd_text(55) == "$55");
    CHECK(usd_text(12.6) == "$12.60");
    CHECK(usd_text(0) == "$0");
    CHECK(usd_text(0.1 + 0.2 - 0.3) == "$0");
    CHECK(usd_text(1e6) == "$1000000");
}

TEST_CASE("money that comes back has its sign before the dollar") {
    CHECK(usd_text(-2) == "-$2");
    CHECK(usd_text(-0.5) == "-$0.50");
    CHECK(usd_text(-0.001) == "$0");
}

TEST_CASE("one and two days are told one by one with the month at the end") {
    CHECK(days_text(days_of(kMarch, {4})) == "Thu 4 Mar");
    CHECK(days_text(days_of(kMarch, {6, 7})) == "Sat 6, Sun 7 Mar");
    CHECK(days_text(days_of(kMarch, {6, 7, 13})) == "Sat 6, Sun 7, Sat 13 Mar");
    CHECK(days_text({}).empty());
}

TEST_CASE("three days and more in a row are told by the first and last") {
    CHECK(days_text(days_of(kMarch, {1, 2, 3, 8})) == "Mon 1 to Wed 3, Mon 8 Mar");
    CHECK(days_text(days_of(kMarch, {1, 2, 4, 5, 6})) == "Mon 1, Tue 2, Thu 4 to Sat 6 Mar");
}

TEST_CASE("words begin with a capital where they begin with a small letter of ASCII") {
    CHECK(capitalised("tight") == "Tight");
    CHECK(capitalised("Zoë 1") == "Zoë 1");
    CHECK(capitalised("ärger") == "ärger");
    CHECK(capitalised("").empty());
}

TEST_CASE("each month is named where it ends") {
    std::vector<Date> days = days_of(kMarch, {27, 28});
    days.push_back(date::year{2027} / 4 / 3);
    CHECK(days_text(days) == "Sat 27, Sun 28 Mar, Sat 3 Apr");
}

TEST_CASE("days in a row over the end of a month or year name both") {
    CHECK(days_text({date::year{2027} / 2 / 27, date::year{2027} / 2 / 28, date::year{2027} / 3 / 1}) ==
          "Sat 27 Feb to Mon 1 Mar");
    CHECK(days_text({date::year{2027} / 12 / 31, date::year{2028} / 1 / 1, date::year{2028} / 1 / 2}) ==
          "Fri 31 Dec to Sun 2 Jan");
}
