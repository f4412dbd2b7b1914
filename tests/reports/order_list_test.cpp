#include "mildway/reports/order_list.hpp"

#include "catch.hpp"
#include "plan_world.hpp"
#include "report_text.hpp"

#include <algorithm>

using namespace mildway;
using orders::OrderLine;
using orders::State;
using testing::columns_of;
using testing::lines_of;

namespace {

/// In the given state, with what belongs to it.
OrderLine listed(State state, const std::string& number = "JB-1041") {
    OrderLine line;
    line.number = number;
    line.state = state;
    line.buyer = "Buyer 01";
    line.destination = "Duluth MN";
    line.species = "hermanns-tortoise";
    line.animals = 1;
    if (state == State::open || state == State::cancelled) return line;
    line.ship_date = date::year{2027} / 3 / 2;
    line.delivery_date = date::year{2027} / 3 / 3;
    line.verdict = Verdict::comfortable;
    if (state == State::handed_over) {
        line.handed_over = *parse_instant("2027-03-02T23:30:00Z");
        line.cut_off = *parse_instant("2027-03-03T00:30:00Z");
    }
    if (state == State::arrived)
        line.arrival = {*parse_instant("2027-03-04T04:00:00Z"), "America/Chicago", 1};
    return line;
}

std::string list_text(const std::vector<OrderLine>& all) {
    return reports::order_list_text(all, testing::starter().species, &find_zone("America/Denver"));
}

void check_columns(const std::string& text) {
    for (const std::string& line : lines_of(text)) {
        CAPTURE(line);
        CHECK(columns_of(line) <= 80);
        CHECK((line.empty() || line.back() != ' '));
    }
}

constexpr State kStates[] = {State::open, State::planned, State::handed_over, State::arrived,
                             State::cancelled};

}  // namespace

TEST_CASE("a list of orders tells of each state what matters then") {
    std::vector<OrderLine> all;
    for (const State state : kStates) all.push_back(listed(state));
    all[0].latest_arrival = date::year{2027} / 3 / 6;
    const auto lines = lines_of(list_text(all));
    const auto line_after = [&](const std::string& heading) {
        for (std::size_t i = 0; i + 2 < lines.size(); ++i) {
            if (lines[i] == heading) return lines[i + 2];
        }
        return std::string();
    };
    CHECK_THAT(line_after("Open"), Catch::Contains("Buyer 01") && Catch::Contains("Sat 6 Mar"));
    CHECK_THAT(line_after("Planned"), Catch::Contains("Tue 2 Mar") && Catch::EndsWith("comfortable"));
    CHECK_THAT(line_after("Handed over"), Catch::EndsWith("Wed 3 Mar"));
    CHECK_THAT(line_after("Arrived"), Catch::Contains("Wed 3 Mar") && Catch::EndsWith("1 of 1 alive"));
    CHECK_THAT(line_after("Cancelled"), Catch::EndsWith("Duluth MN"));
    CHECK_THAT(lines.back(), Catch::StartsWith("5 orders: 1 open, 1 planned"));
}

TEST_CASE("a list of long and foreign names keeps to 80 columns and each order to its line") {
    std::vector<OrderLine> all;
    for (const State state : kStates) {
        OrderLine one = listed(state, "JB-1041-Schildkröte");
        one.buyer = "Žofia Wölfflin-Übermüller von und zu Großweißenbrunn";
        one.destination = "Llanfairpwllgwyngyllgogerychwyrndrobwllllantysiliogogogoch";
        one.species = "a-very-long-name-of-a-tortoise-that-nobody-keeps";
        one.verdict = Verdict::unknown;
        one.flagged = true;
        all.push_back(one);
    }
    const std::string text = list_text(all);
    check_columns(text);
    const auto lines = lines_of(text);
    CHECK(std::count_if(lines.begin(), lines.end(),
                        [](const auto& line) { return line.starts_with("! JB-1041-Sch"); }) == 5);
    CHECK_THAT(text, Catch::Contains("Žofia W"));
}

TEST_CASE("columns of a list stand under their heads whatever letters are in them") {
    std::vector<OrderLine> all{listed(State::planned, "A"), listed(State::planned, "B")};
    all[0].buyer = "Zoë Ångström";
    all[1].buyer = "Ada";
    const auto lines = lines_of(list_text(all));
    const auto column = [&](std::size_t line, const std::string& word) {
        const auto at = lines.at(line).find(word);
        REQUIRE(at != std::string::npos);
        return columns_of(lines.at(line).substr(0, at));
    };
    CHECK(column(2, "Duluth") == column(1, "To"));
    CHECK(column(3, "Duluth") == column(1, "To"));
}

TEST_CASE("a list shows what the newest check found and marks what it flagged") {
    OrderLine one = listed(State::planned);
    one.verdict = Verdict::unsafe;
    one.side = Side::warm;
    one.flagged = true;
    const std::string text = list_text({one, listed(State::planned, "JB-2")});
    CHECK_THAT(text, Catch::Contains("\n! JB-1041") && Catch::Contains("\n  JB-2") &&
                         Catch::Contains("unsafe, warm\n"));
    CHECK_THAT(text, Catch::Contains("1 marked ! by the last check"));
}

TEST_CASE("a list of no orders tells how to enter one") {
    CHECK_THAT(list_text({}), Catch::Contains("mildway order add"));
}

TEST_CASE("a buyer without name and e-mail address is a dash in a list") {
    OrderLine one = listed(State::open);
    one.buyer.clear();
    CHECK_THAT(list_text({one}), Catch::Contains("JB-1041 -     1 x"));
}

TEST_CASE("a list shows the days that were proposed in place of those wanted") {
    OrderLine one = listed(State::open);
    one.latest_arrival = date::year{2027} / 3 / 6;
    one.proposed = {date::year{2027} / 3 / 2};
    const std::string text = list_text({one});
    CHECK_THAT(text, Catch::Contains("proposed Tue 2 Mar\n"));
    CHECK_THAT(text, !Catch::Contains("Sat 6 Mar"));
}

TEST_CASE("a parcel handed over on another day or after the cut-off has no day on which it is due") {
    OrderLine line = listed(State::handed_over);
    CHECK_THAT(list_text({line}), Catch::Contains("Wed 3 Mar") && !Catch::Contains("off plan"));
    line.handed_over = *parse_instant("2027-03-03T00:30:01Z");
    CHECK_THAT(list_text({line}), Catch::Contains("off plan") && !Catch::Contains("Wed 3 Mar"));
    line.handed_over = *parse_instant("2027-03-01T23:30:00Z");
    CHECK_THAT(list_text({line}), Catch::Contains("off plan") && !Catch::Contains("Wed 3 Mar"));
}
