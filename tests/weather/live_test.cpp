#include "mildway/weather/live.hpp"

#include "mildway/fetch/disk_cache.hpp"

#include "catch.hpp"
#include "made_outlook.hpp"

#include <memory>

using namespace mildway;
using namespace mildway::weather;
using testing::made_issue;
using testing::made_place;
using testing::MadeSource;
using testing::steady;

namespace {

/// Sources made by the test in a live one; nobody is asked over a network.
class Made {
public:
    explicit Made(bool ask_all = true) { setup_.ask_all = ask_all; }

    MadeSource& add(const std::string& name, MadeSource::Says says) {
        sources_.push_back(std::make_unique<MadeSource>(name, std::move(says)));
        return static_cast<MadeSource&>(*sources_.back());
    }

    MadeSource& add_steady(const std::string& name, double temp_c, hours older = hours(0)) {
        return add(name, [=](const Place&) -> Reading {
            Outlook outlook = steady(name, temp_c);
            outlook.issued -= older;
            return {outlook, ""};
        });
    }

    MadeSource& add_failing(const std::string& name) {
        return add(name, [=](const Place&) -> Reading { return {std::nullopt, name + " answered 503"}; });
    }

    [[nodiscard]] Reading read() {
        const fetch::DiskCache cache("never-written");
        const fetch::Fetcher fetcher(nullptr, &cache, [] { return made_issue(); });
        const LiveSource live(std::move(sources_), &fetcher, setup_, {}, made_issue() + hours(2));
        const Place place = made_place();
        return live.read(std::span(&place, 1)).front();
    }

private:
    WeatherSetup setup_;
    std::vector<std::unique_ptr<BatchSource>> sources_;
};

}  // namespace

TEST_CASE("all sources are asked and pooled") {
    Made made;
    made.add_steady("A", 4);
    made.add_steady("B", 6);
    const Reading reading = made.read();
    REQUIRE(reading.outlook);
    CHECK(reading.outlook->source == "A and B");
    CHECK(reading.outlook->temp_c.front()[30] == Approx(5).margin(1e-9));
}

TEST_CASE("a source that fails is told while another answers") {
    Made made;
    made.add_failing("A");
    made.add_steady("B", 6);
    const Reading reading = made.read();
    REQUIRE(reading.outlook);
    CHECK(reading.outlook->source == "B");
    CHECK(reading.outlook->findings == std::vector<std::string>{"not used: A answered 503"});
}

TEST_CASE("warnings of a source without a forecast still hold") {
    Made made;
    made.add("A", [](const Place&) -> Reading {
        return {std::nullopt,
                "A answered 503",
                {{"Hurricane Warning", "HU", "Extreme", made_issue(), {}, ""}},
                true};
    });
    made.add_steady("B", 6);
    const Reading reading = made.read();
    REQUIRE(reading.outlook);
    CHECK(reading.outlook->alerts_known);
    CHECK(reading.outlook->alerts.size() == 1);
}

TEST_CASE("when every source fails the reading holds every reason") {
    Made made;
    made.add_failing("A");
    made.add_failing("B");
    const Reading reading = made.read();
    CHECK_FALSE(reading.outlook);
    CHECK(reading.reason ==
          "there is no weather for Duluth MN (46.7867,-92.1005): A answered 503; B answered 503");
}

TEST_CASE("a stale source is left out while a fresh one answers") {
    Made made;
    made.add_steady("A", 4, hours(40));
    made.add_steady("B", 6);
    const Reading reading = made.read();
    REQUIRE(reading.outlook);
    CHECK(reading.outlook->source == "B");
    REQUIRE(reading.outlook->findings.size() == 1);
    CHECK_THAT(reading.outlook->findings.front(), Catch::Contains("not used") && Catch::Contains("is stale"));
}

TEST_CASE("a stale source alone keeps its doubt") {
    Made made;
    made.add_steady("A", 4, hours(40));
    const Reading reading = made.read();
    REQUIRE(reading.outlook);
    CHECK_THAT(reading.outlook->doubt, Catch::Contains("42 hours ago (at most 12 are trusted)"));
}

TEST_CASE("asking the first that has an answer leaves the others alone") {
    Made made(false);
    made.add_steady("A", 4);
    const auto asked = made.add_steady("B", 6).asked;
    CHECK(made.read().outlook->source == "A");
    CHECK(*asked == 0);
}

TEST_CASE("asking the first goes on to the next when there is no usable answer") {
    Made made(false);
    made.add_failing("A");
    made.add_steady("B", 4, hours(40));
    made.add_steady("C", 6);
    CHECK(made.read().outlook->source == "C");
}

TEST_CASE("degrees Fahrenheit of one source are found out by the other") {
    Made made;
    made.add_steady("A", 14);
    made.add_steady("B", -10);
    CHECK_THAT(made.read().outlook->doubt, Catch::Contains("cannot both be right"));
}

TEST_CASE("a climate that is switched off gives neither an outlook nor a complaint") {
    WeatherSetup setup;
    setup.beyond = Beyond::nothing;
    const fetch::DiskCache cache("never-written");
    const fetch::Fetcher fetcher(nullptr, &cache, [] { return made_issue(); });
    const LiveSource live(&fetcher, setup, {}, made_issue());
    const Place place = made_place();
    const auto readings = live.climate(std::span(&place, 1), made_issue(), made_issue() + hours(24));
    REQUIRE(readings.size() == 1);
    CHECK_FALSE(readings.front().outlook);
    CHECK(readings.front().reason.empty());
}
