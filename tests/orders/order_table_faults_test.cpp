// Every fault of a table names line and column, and all are told at once.
#include "catch.hpp"
#include "order_table_help.hpp"

using namespace mildway;
using Catch::Contains;
using testing::faults_of;
using testing::import_of;

namespace {

/// A table with one order whose `column` holds `cell`.
std::string told_of(const std::string& column, const std::string& cell) {
    std::string header = "number,to,species";
    std::string row = "N-1,P,corn-snake";
    if (header.find(column) == std::string::npos) {
        return faults_of(import_of(header + "," + column + "\n" + row + "," + cell + "\n"));
    }
    if (column == "number") return faults_of(import_of(header + "\n" + cell + ",P,corn-snake\n"));
    if (column == "to") return faults_of(import_of(header + "\nN-1," + cell + ",corn-snake\n"));
    return faults_of(import_of(header + "\nN-1,P," + cell + "\n"));
}

}  // namespace

TEST_CASE("a bad cell is told with its line, its column, what it holds and what was expected") {
    struct Case {
        const char* column;
        const char* cell;
        const char* expected;
    };
    const std::vector<Case> cases{
        {"number", "1.23E+05",
         "orders.csv:2: number: '1.23E+05' looks like a long number that a spreadsheet"},
        {"number", "3/1/2027", "orders.csv:2: number: '3/1/2027' looks like a date that a spreadsheet"},
        {"number", "1-Mar", "orders.csv:2: number: '1-Mar' looks like a date"},
        {"number", "", "orders.csv:2: number: is needed"},
        {"number", "a b", "orders.csv:2: number: 'a b' is no number of an order"},
        {"to", "Nowhere", "orders.csv:2: to: no place is called 'Nowhere'"},
        {"to", "", "orders.csv:2: to: is needed"},
        {"species", "corn-snak",
         "orders.csv:2: species: no species is called 'corn-snak'; did you mean 'corn-snake'?"},
        {"species", "", "orders.csv:2: species: is needed"},
        {"earliest", "3/1/2027",
         "orders.csv:2: earliest: '3/1/2027' is not a date like 2027-03-01; if a spreadsheet"},
        {"earliest", "2027-02-30", "orders.csv:2: earliest: '2027-02-30' is not a date"},
        {"latest", "soon", "orders.csv:2: latest: 'soon' is not a date"},
        {"away", "2027-03-05..2027-03-01",
         "orders.csv:2: away: '2027-03-05..2027-03-01' ends before it begins"},
        {"away", "2027-03-05..x", "orders.csv:2: away: 'x' is not a date"},
        {"services", "sea", "orders.csv:2: services: no service is called 'sea'"},
        {"email", "a@b@c.example", "orders.csv:2: email: 'a@b@c.example' is not an e-mail address"},
        {"scale", "kelvin", "orders.csv:2: scale: 'kelvin' is no scale; expected celsius or fahrenheit"},
        {"value_usd", "dear", "orders.csv:2: value_usd: 'dear' is not a number of dollars"},
        {"value_usd", "\"1,5\"", "orders.csv:2: value_usd: '1,5' is not a number of dollars"},
        {"mass_g", "7 g", "orders.csv:2: mass_g: '7 g' is not a number of grams from 0.1 to 5000"},
        {"mass_g", "nan", "orders.csv:2: mass_g: 'nan' is not a number"},
        {"shell_mm", "3", "orders.csv:2: shell_mm: '3' is not a number of millimetres from 5 to 1000"},
        {"mass_g", "1.200", "orders.csv:2: mass_g: '1.200' may be 1200 or 1.2; write 1200 or 1.2"},
        {"mass_g", "\"1,200\"", "orders.csv:2: mass_g: '1,200' may be 1200 or 1.2; write 1200 or 1.2"},
        {"shell_mm", "31.125", "orders.csv:2: shell_mm: '31.125' may be 31125 or 31.1250; write 31125 or"},
        {"value_usd", "1.000", "orders.csv:2: value_usd: '1.000' may be 1000 or 1; write 1000 or 1"},
        {"count", "0", "orders.csv:2: count: '0' is not a whole number from 1 to 12"},
        {"count", "1.5", "orders.csv:2: count: '1.5' is not a whole number"},
        {"count", "13", "orders.csv:2: count: '13' is not a whole number"},
        {"buyer",
         "a\x07"
         "b",
         "orders.csv:2: buyer: holds the control character U+0007"},
        {"buyer",
         "a\xE2\x80\xAE"
         "b",
         "orders.csv:2: buyer: holds the control character U+202E"},
        {"buyer", "a\xC0\x80", "orders.csv:2: buyer: is not text in UTF-8"},
        {"note", "a\x1B[31m", "orders.csv:2: note: holds the control character U+001B"},
        {"mark", "a\x01", "orders.csv:2: mark: holds the control character U+0001"},
    };
    for (const Case& one : cases) {
        CAPTURE(one.column, one.cell);
        CHECK_THAT(told_of(one.column, one.cell), Catch::StartsWith(one.expected));
    }
}

TEST_CASE("a bad header is told by line and name with the nearest column") {
    CHECK_THAT(faults_of(import_of("number,to,specis\nN-1,P,corn-snake\n")),
               Contains("orders.csv:1: specis: is no column of orders; did you mean 'species'?"));
    CHECK_THAT(faults_of(import_of("number,to,species,To\nN-1,P,corn-snake,P\n")),
               Contains("orders.csv:1: To: stands twice"));
    CHECK(faults_of(import_of("to,species\nP,corn-snake\n")) ==
          "orders.csv:1: number: is missing; it tells which order a row is of");
    CHECK(faults_of(import_of("number,species\nN-1,corn-snake\nN-2,corn-snake\n")) ==
          "orders.csv:1: to: is missing; new orders, such as N-1, need it");
    CHECK_THAT(faults_of(import_of("number,to,service\nN-1,P,road\n")), Contains("did you mean 'services'?"));
}

TEST_CASE("all faults of a file are told at once and in the order of its lines") {
    const std::string told =
        faults_of(import_of("number,to,species,earliest,mass_g\nN-1,P,cornsnake,1/2/3,x\nN-2,P,corn-snake\n"
                            "N-3,Q,corn-snake,,7\n"));
    CHECK(std::count(told.begin(), told.end(), '\n') == 4);
    for (const char* part :
         {":2: species:", ":2: earliest:", ":2: mass_g:", ":3: has 3 cells; the header has 5", ":4: to:"})
        CHECK_THAT(told, Contains(part));
    CHECK(told.find(":2:") < told.find(":3:"));
    CHECK(told.find(":3:") < told.find(":4:"));
}

TEST_CASE("the other cells of a row with a bad number are told as well") {
    const std::string told =
        faults_of(import_of("number,to,species,latest\n1.23E+05,P,cornsnake,3/1/2027\n"));
    for (const char* part : {":2: number:", ":2: species:", ":2: latest:"}) CHECK_THAT(told, Contains(part));
}

TEST_CASE("lines are counted through cells of several lines") {
    CHECK_THAT(faults_of(import_of("number,to,species,note\nN-1,P,corn-snake,\"a\nb\"\nN-2,Q,corn-snake,\n")),
               Catch::StartsWith("orders.csv:4: to:"));
}

TEST_CASE("beyond fifty faults the rest are counted") {
    std::string text = "number,to,species\n";
    for (int i = 0; i < 60; ++i) text += "N-" + std::to_string(i) + ",Q,corn-snake\n";
    const std::string told = faults_of(import_of(text));
    CHECK(std::count(told.begin(), told.end(), '\n') == 50);
    CHECK_THAT(told, Catch::EndsWith("\nand 10 more"));
}

TEST_CASE("rows of one order must not contradict each other") {
    CHECK_THAT(faults_of(import_of("number,to,species\nN-1,P,corn-snake\nn-1,P2,corn-snake\n")),
               Contains("orders.csv:3: to: 'P2' is not what line 2 says of the same order, 'P'"));
}

TEST_CASE("one e-mail address is one buyer with one name") {
    CHECK_THAT(
        faults_of(import_of("number,to,species,email,buyer\nN-1,P,corn-snake,a@b.example,Ann\n"
                            "N-2,P,corn-snake,a@b.example,Bob\n")),
        Contains("orders.csv:3: buyer: 'Bob' is not what line 2 says of the buyer a@b.example, 'Ann'"));
}

TEST_CASE("a latest day before the earliest is told") {
    CHECK(
        faults_of(import_of("number,to,species,earliest,latest\nN-1,P,corn-snake,2027-03-05,2027-03-04\n")) ==
        "orders.csv:2: latest: 2027-03-04 is before the earliest day, 2027-03-05");
}

TEST_CASE("more animals than a parcel takes are told") {
    CHECK_THAT(faults_of(import_of("number,to,species,count\nN-1,P,corn-snake,8\nN-1,,,8\n")),
               Contains("orders.csv:2: count: makes 16 animals of N-1; expected 12 at most"));
}

TEST_CASE("what is no table is refused with a line") {
    CHECK_THROWS_WITH(import_of("number,to\nN-1,\"P\n"),
                      Contains("orders.csv:2: has a quote that is never closed"));
    CHECK_THROWS_WITH(import_of(""), Contains("is empty"));
    CHECK_THROWS_WITH(import_of(std::string("number\0,to\n", 11)), Contains("zero byte"));
    CHECK_THROWS_WITH(import_of("\xFF\xFEn"), Contains("UTF-16"));
    CHECK_THROWS_WITH(import_of("number\n" + std::string(9000, 'a') + "\n"),
                      Contains("more than the 8192 bytes"));
    CHECK_THROWS_WITH(import_of(std::string(65, ',') + "\n"), Contains("more than the 64 cells"));
}

TEST_CASE("faults before a line that cannot be read are told with it") {
    CHECK(faults_of(import_of("number,to,oddity\nN-1,P,\nN-2,\"P\n")).find("orders.csv:1: oddity:") == 0);
    CHECK_THAT(faults_of(import_of("number,to,oddity\nN-1,P,\nN-2,\"P\n")),
               Contains("orders.csv:3: is not readable from here on"));
}

TEST_CASE("a figure whose mark may part thousands is refused whatever parts the cells") {
    for (const char* table : {"number\tto\tspecies\tmass_g\nN-1\tP\tcorn-snake\t1,200\n",
                              "number;to;species;mass_g\nN-1;P;corn-snake;1.200\n",
                              "number;to;species;mass_g\nN-1;P;corn-snake;1,200\n"})
        CHECK_THAT(faults_of(import_of(table)), Contains(":2: mass_g: '1") && Contains("write 1200 or 1.2"));
    const auto clear = import_of(
        "number;to;species;mass_g;value_usd\nN-1;P;corn-snake;0,125;1200,50\nN-2;P;corn-snake;1,20;12\n");
    CHECK(faults_of(clear).empty());
    CHECK(clear.entries.at(0).order.animals.at(0).mass_g == 0.125);
    CHECK(clear.entries.at(0).order.value_usd == 1200.5);
    CHECK(clear.entries.at(1).order.animals.at(0).mass_g == 1.2);
}

TEST_CASE("a number that a spreadsheet may have changed is told with the one it may be") {
    const std::string header = "number,to,species\n";
    orders::Order known;
    known.number = "1041";
    CHECK(faults_of(import_of(header + "1041.0,P,corn-snake\n", {known})) ==
          "orders.csv:2: number: '1041.0' and '1041' of the book are one number to a spreadsheet; did one "
          "change "
          "it? write it as it was, and make that column text");
    CHECK_THAT(faults_of(import_of(header + "007,P,corn-snake\n7,P,corn-snake\n")),
               Contains("orders.csv:3: number: '7' and '007' on line 2 are one number"));
    orders::Order other = known;
    other.number = "01041";
    CHECK(faults_of(import_of("number,note\n1041,x\n01041,y\n", {known, other})).find("spreadsheet") ==
          std::string::npos);
    CHECK(faults_of(import_of(header + "JB-007,P,corn-snake\nJB-7,P,corn-snake\n0,P,corn-snake\n")).empty());
}

TEST_CASE("two addresses for one e-mail are told with both lines") {
    CHECK_THAT(faults_of(import_of("number,to,species,email,address\nN-1,P,corn-snake,a@b.example,1 Lake\n"
                                   "N-2,P,corn-snake,A@b.example,2 Hill\n")),
               Contains("orders.csv:3: address: '2 Hill' is not what line 2 says of the buyer"));
}
