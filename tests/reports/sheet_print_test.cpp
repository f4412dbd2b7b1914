// The sheet lies beside the box: a browser prints it on one page, on both papers.
#include "catch.hpp"
#include "printed_page.hpp"
#include "sheet_orders.hpp"

using namespace mildway;
using testing::planned_order;
using testing::sheet_of;

namespace {

/// On both papers; nothing is checked, and said so, where there is no browser.
void check_pages(const orders::Order& order, int pages) {
    if (!testing::can_print()) {
        WARN("not checked: chromium or pdfinfo is not installed");
        return;
    }
    const std::string html = reports::sheet_html(sheet_of(order));
    const testing::Printed letter = testing::print(html, "letter");
    CHECK_THAT(letter.size, Catch::Contains("612 x 792"));
    CHECK(letter.pages == pages);
    const testing::Printed a4 = testing::print(html, "A4");
    CHECK_THAT(a4.size, Catch::Contains("A4"));
    CHECK(a4.pages == pages);
}

}  // namespace

TEST_CASE("the sheet of one animal with two warmers prints on one page of Letter and of A4") {
    check_pages(planned_order("small-38-2w"), 1);
}

TEST_CASE("the sheet of three measured hatchlings prints on one page of Letter and of A4") {
    orders::Order order = planned_order("medium-38-2w");
    order.animals = {{"Ash", 31, 42}, {"Birch", 28, 40}, {"Clover", 30, 41}};
    check_pages(order, 1);
}

TEST_CASE("the sheet of twelve animals goes on to a second page") {
    orders::Order order = planned_order("medium-38-2w");
    order.animals.resize(12);
    check_pages(order, 2);
}
