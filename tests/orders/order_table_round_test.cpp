// Tables out and in again, and cells that no spreadsheet takes for formulas.
#include "catch.hpp"
#include "order_table_help.hpp"
#include "temp_workspace.hpp"

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include <nlohmann/json.hpp>

using namespace mildway;
using testing::faults_of;
using testing::import_of;
using testing::RandomOrders;

namespace {

/// What OWASP's "CSV Injection" lists, and the wide forms.
bool dangerous(const std::string& cell) {
    if (cell.empty()) return false;
    if (std::string("=+-@\t\r\n").find(cell.front()) != std::string::npos) return true;
    for (const char* wide : {"\xEF\xBC\x9D", "\xEF\xBC\x8B", "\xEF\xBC\x8D", "\xEF\xBC\xA0"})
        if (cell.starts_with(wide)) return true;
    return false;
}

std::vector<orders::Order> random_orders(unsigned seed, int count) {
    RandomOrders random(seed);
    std::vector<orders::Order> all;
    for (int i = 0; i < count; ++i) all.push_back(random.order(i));
    return all;
}

}  // namespace

TEST_CASE("random orders come back from a table as they were") {
    for (unsigned seed = 1; seed <= 40; ++seed) {
        const auto written = random_orders(seed, 20);
        const auto plan = import_of(orders::write_order_table(written));
        CAPTURE(seed, faults_of(plan));
        REQUIRE(plan.faults.empty());
        REQUIRE(plan.entries.size() == written.size());
        for (std::size_t i = 0; i < written.size(); ++i) {
            CHECK(plan.entries[i].kind == orders::ImportKind::added);
            CHECK(testing::row_text(plan.entries[i].order) == testing::row_text(written[i]));
            CHECK(orders::differences(written[i], plan.entries[i].order).empty());
        }
    }
}

TEST_CASE("a table of the book itself changes nothing") {
    for (unsigned seed = 1; seed <= 20; ++seed) {
        const auto known = random_orders(seed, 15);
        const auto plan = import_of(orders::write_order_table(known), known);
        CAPTURE(seed, faults_of(plan));
        CHECK(plan.faults.empty());
        CHECK(plan.count(orders::ImportKind::same) == known.size());
    }
}

TEST_CASE("no cell begins with what a spreadsheet takes for a formula and each comes back") {
    RandomOrders random(7);
    for (int i = 0; i < 20000; ++i) {
        const std::string text = i % 2 == 0 ? random.bytes() : random.text(true);
        const std::string cell = orders::guarded_cell(text);
        CAPTURE(text);
        CHECK_FALSE(dangerous(cell));
        CHECK(orders::unguarded_cell(cell) == text);
    }
}

TEST_CASE("text that is no danger stays as it is") {
    CHECK(orders::guarded_cell("'s Hof") == "'s Hof");
    CHECK(orders::guarded_cell("a=b") == "a=b");
    CHECK(orders::guarded_cell("=1+1") == "'=1+1");
    CHECK(orders::guarded_cell("'=1+1") == "''=1+1");
    CHECK(orders::guarded_cell("-106.5,32.1") == "'-106.5,32.1");
}

TEST_CASE("Python reads an export to the cells that were written") {
    const testing::TempFolder folder;
    const auto file = folder.path() / "orders.csv";
    const auto answer = folder.path() / "cells.json";
    const auto written = random_orders(11, 60);
    testing::spill(file, orders::write_order_table(written));
    const std::string command =
        "/usr/bin/python3 -c 'import csv,json,sys; json.dump(list(csv.reader(open(sys.argv[1], newline=\"\", "
        "encoding=\"utf-8-sig\"), strict=True)), open(sys.argv[2], \"w\"))' " +
        file.string() + " " + answer.string();
    REQUIRE(std::system(command.c_str()) == 0);  // NOLINT(concurrency-mt-unsafe,cert-env33-c): one thread
    const auto rows = nlohmann::json::parse(testing::slurp(answer));
    REQUIRE(rows.at(0) == orders::table_columns());
    std::size_t row = 1;
    for (const auto& order : written) {
        REQUIRE(row < rows.size());
        CHECK(rows[row][0] == order.number);
        std::size_t animals = 0;
        for (; row < rows.size() && rows[row][0] == order.number; ++row) {
            for (std::size_t i = 0; i < orders::kFieldCount; ++i) {
                const std::string cell = rows[row][i + 1];
                CHECK_FALSE(dangerous(cell));
                CHECK(orders::unguarded_cell(cell) ==
                      orders::field_text(order, static_cast<orders::Field>(i)));
            }
            animals += std::stoul(rows[row][orders::kFieldCount + 1].get<std::string>());
        }
        CHECK(animals == order.animals.size());
    }
    CHECK(row == rows.size());
}

TEST_CASE("lines of a table end in CR LF and only text beyond ASCII brings a byte order mark") {
    auto all = random_orders(3, 1);
    all[0].buyer.name = "Ann";
    all[0].buyer.address = all[0].note = all[0].destination = "P";
    for (auto& animal : all[0].animals) animal.mark.clear();
    const std::string plain = orders::write_order_table(all);
    CHECK(plain.starts_with("number,buyer,email,"));
    CHECK(plain.ends_with("\r\n"));
    for (std::size_t at = plain.find('\n'); at != std::string::npos; at = plain.find('\n', at + 1))
        CHECK(plain[at - 1] == '\r');
    all[0].buyer.name = "J\xC3\xBCrgen";
    CHECK(orders::write_order_table(all).starts_with("\xEF\xBB\xBFnumber,"));
}
