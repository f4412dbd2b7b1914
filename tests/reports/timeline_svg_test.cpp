#include "../../src/reports/svg.hpp"
#include "catch.hpp"
#include "traced_box.hpp"
#include "xml_check.hpp"

#include <algorithm>
#include <regex>

using namespace mildway;
using testing::TracedBox;
using testing::XmlCheck;

namespace {

const testing::Order kOrder{
    .services = {"night-air"}, .packings = {"small-38-1w"}, .days = 1, .scenarios = 64};

std::string drawing_of(const TracedBox& box) {
    return reports::timeline_svg(box.subject(), box.timeline());
}

bool has_text(const XmlCheck& xml, const std::string& wanted) {
    return std::any_of(xml.texts().begin(), xml.texts().end(),
                       [&](const std::string& text) { return text.find(wanted) != std::string::npos; });
}

}  // namespace

TEST_CASE("the XML check of these tests knows good from bad") {
    CHECK(XmlCheck("<a b=\"1\"><c/>x &amp; y</a>\n").problem().empty());
    for (const char* bad :
         {"", "text", "<a>", "<a></b>", "<a b=1/>", "<a b=\"<\"/>", "<a>&</a>", "<a>&nbsp;</a>", "<a/><b/>",
          "<a b=\"1\" b=\"2\"/>", "<a><b></a></b>", "<a>\x01</a>"}) {
        CAPTURE(bad);
        CHECK_FALSE(XmlCheck(bad).problem().empty());
    }
}

TEST_CASE("markup in text is escaped") {
    CHECK(reports::svg::escape("a < b & c > \"d\" 'e'") == "a &lt; b &amp; c &gt; &quot;d&quot; &#39;e&#39;");
    CHECK(reports::svg::escape("13 \u00b0C") == "13 \u00b0C");
}

TEST_CASE("shapes and texts are well-formed elements") {
    for (const std::string& element :
         {reports::svg::line({0, 0}, {1, 2}, "grid"), reports::svg::polyline({{0, 0}, {1, 1}}, "animals"),
          reports::svg::polygon({}, "fan"), reports::svg::rectangle({0, 0}, 3, 4, "safe"),
          reports::svg::text({1, 2}, "<&>", "small"), reports::svg::upward_text({1, 2}, "a \"b\"", "end")}) {
        CAPTURE(element);
        CHECK(XmlCheck(element).problem() == "");
    }
}

TEST_CASE("a drawing is well-formed XML on every service") {
    for (const char* service : {"night-air", "night-air+held", "two-day"}) {
        testing::Order order = kOrder;
        order.services = {service};
        CHECK(XmlCheck(drawing_of(TracedBox(order))).problem() == "");
    }
}

TEST_CASE("names with markup in them are shown as they are") {
    planning::Workspace workspace = testing::starter();
    for (auto& place : workspace.places) {
        if (place.name == "Duluth MN") place.name = "Frogs & <Co>";
    }
    testing::Order order = kOrder;
    order.to = "Frogs & <Co>";
    const XmlCheck xml(drawing_of(TracedBox(order, workspace)));
    CHECK(xml.problem() == "");
    CHECK(has_text(xml, "corn snake to Frogs & <Co>, Mon 1 Mar"));
}

TEST_CASE("a drawing carries a title a description the limits and every leg's name in words") {
    const TracedBox box(kOrder);
    const XmlCheck xml(drawing_of(box));
    CHECK(xml.count("title") == 1);
    CHECK(xml.count("desc") == 1);
    for (const char* limit : {"too cold below 13 \u00b0C", "too warm above 30 \u00b0C",
                              "harm below 8 \u00b0C", "harm above 33 \u00b0C"}) {
        CAPTURE(limit);
        CHECK(has_text(xml, limit));
    }
    for (const auto& leg : box.trip().legs) {
        CAPTURE(leg.name);
        CHECK(has_text(xml, std::string(leg.name)));
    }
}

TEST_CASE("a drawing needs nothing from outside") {
    const std::string drawing = drawing_of(TracedBox(kOrder));
    CHECK_THAT(drawing, !Catch::Contains("href") && !Catch::Contains("url(") && !Catch::Contains("<script"));
}

TEST_CASE("the drawing's lines stay inside it and hold no number that is none") {
    const std::string drawing = drawing_of(TracedBox(kOrder));
    CHECK_THAT(drawing, !Catch::Contains("nan") && !Catch::Contains("inf"));
    const std::regex pair("(-?[0-9.]+),(-?[0-9.]+)");
    int points = 0;
    for (std::sregex_iterator at(drawing.begin(), drawing.end(), pair), end; at != end; ++at, ++points) {
        const double x = std::stod((*at)[1]);
        const double y = std::stod((*at)[2]);
        CAPTURE((*at)[0].str());
        CHECK((x >= 0 && x <= 900));
        CHECK((y >= 0 && y <= 520));
    }
    CHECK(points > 100);
}
