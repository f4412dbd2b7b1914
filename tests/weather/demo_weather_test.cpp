#include "../../fixtures/demo/demo_weather.hpp"

#include "mildway/base/files.hpp"
#include "mildway/weather/recorded.hpp"

#include "catch.hpp"

#include <algorithm>
#include <filesystem>

using namespace mildway;
using namespace mildway::demo;

namespace {

const std::filesystem::path kFolder = std::filesystem::path(MILDWAY_SOURCE_DIR) / "fixtures/demo/weather";

/// Temperature of the demo forecast at a local clock time of March 2027.
double demo_c(std::string_view slug, int day, minutes clock) {
    const auto at = std::find_if(kDemoPlaces.begin(), kDemoPlaces.end(),
                                 [&](const DemoPlace& p) { return p.slug == slug; });
    const Date date = date::year(2027) / 3 / day;
    static const weather::RecordedSource source(kFolder);
    return source.outlook(at->place).temp_at(to_instant(find_zone(at->place.zone), date, clock));
}

}  // namespace

TEST_CASE("the committed demo weather is what its generator makes") {
    for (const DemoPlace& at : kDemoPlaces) {
        INFO(at.slug);
        const std::string committed = read_file(kFolder / (std::string(at.slug) + ".json"), 1 << 20);
        CHECK((committed == demo_gridpoint(at)));
    }
}

TEST_CASE("the demo folder holds one forecast for each place and nothing else") {
    const auto files = std::distance(std::filesystem::directory_iterator(kFolder), {});
    CHECK(files == static_cast<std::ptrdiff_t>(kDemoPlaces.size()));
}

TEST_CASE("each demo forecast is free of doubts and lasts the week") {
    const weather::RecordedSource source(kFolder);
    for (const DemoPlace& at : kDemoPlaces) {
        INFO(at.slug);
        const weather::Outlook outlook = source.outlook(at.place);
        CHECK(outlook.findings.empty());
        CHECK(outlook.hour_count() == kHours);
        CHECK_FALSE(outlook.first_unknown(outlook.first_hour, outlook.end() - hours(1)).has_value());
        CHECK(std::isnan(outlook.snow_mm_per_h[kShortHours]));
    }
}

TEST_CASE("in the demo Duluth is bitterly cold on Tuesday and mild on Thursday") {
    CHECK(demo_c("duluth", 2, hours(6)) < -20);
    CHECK(demo_c("duluth", 3, hours(6)) < -20);
    CHECK(demo_c("duluth", 4, hours(6)) > 1);
    CHECK(demo_c("duluth", 4, hours(15)) > 10);
}

TEST_CASE("in the demo Tampa is hot and Bozeman frozen all week") {
    for (int day = 1; day <= 5; ++day) {
        INFO(day);
        CHECK(demo_c("tampa", day, hours(14)) > 30);
        CHECK(demo_c("bozeman", day, hours(14)) < -10);
    }
}

TEST_CASE("in the demo the front brings snow to the hub on Wednesday") {
    const weather::RecordedSource source(kFolder);
    const weather::Outlook outlook = source.outlook(kDemoPlaces[2].place);
    double depth_mm = 0;
    for (int hour = 55; hour < 80; ++hour) depth_mm += outlook.snow_mm_per_h[static_cast<std::size_t>(hour)];
    CHECK(depth_mm == Approx(40).margin(1));
    CHECK(demo_c("st-louis", 3, hours(11)) - demo_c("st-louis", 4, hours(11)) > 7);
}
