#include "mildway/planning/destination.hpp"

#include "catch.hpp"
#include "plan_world.hpp"

using namespace mildway;
using planning::Destination;
using planning::find_destination;
using planning::PlaceHelp;
using testing::starter;

namespace {

/// Knows what the test says.
class MadeFinder : public places::Finder {
public:
    explicit MadeFinder(std::vector<places::Candidate> knows) : knows_(std::move(knows)) {}
    [[nodiscard]] std::string name() const override { return "a made finder"; }
    [[nodiscard]] std::vector<places::Candidate> find(const std::string& /*text*/) const override {
        ++asked;
        return knows_;
    }
    mutable int asked = 0;

private:
    std::vector<places::Candidate> knows_;
};

class BrokenFinder : public places::Finder {
public:
    [[nodiscard]] std::string name() const override { return "a broken finder"; }
    [[nodiscard]] std::vector<places::Candidate> find(const std::string& /*text*/) const override {
        throw WeatherError("finder.test: did not answer within 20 s");
    }
};

places::Candidate fargo(const std::string& zone) {
    return {{"Fargo, North Dakota", 46.8772, -96.7898, zone}, "a made finder"};
}

places::Candidate elsewhere() {
    return {{"Fargo, Oklahoma", 36.3742, -99.6237, "America/Chicago"}, "a made finder"};
}

std::string complaint(const std::string& text, const PlaceHelp& help) {
    try {
        (void)find_destination(starter(), text, "", help);
    } catch (const UsageError& error) {
        return error.what();
    }
    return "";
}

}  // namespace

TEST_CASE("a place of the workspace is taken without asking anybody") {
    const MadeFinder finder({fargo("America/Chicago")});
    CHECK(find_destination(starter(), "duluth mn", "", {{&finder}, {}}).place.name == "Duluth MN");
    CHECK(finder.asked == 0);
}

TEST_CASE("what a finder makes of a text is taken and shown") {
    const MadeFinder finder({fargo("America/Chicago")});
    const Destination found = find_destination(starter(), "Fargo ND", "", {{&finder}, {}});
    CHECK(found.place.zone == "America/Chicago");
    CHECK(found.found_by == "a made finder");
    CHECK(found.remark == "taking 'Fargo ND' to be Fargo, North Dakota (46.8772,-96.7898), by a made finder");
}

TEST_CASE("several places that may be meant are listed to choose from") {
    const MadeFinder finder({fargo("America/Chicago"), elsewhere()});
    const std::string said = complaint("Fargo", {{&finder}, {}});
    CHECK_THAT(said, Catch::Contains("'Fargo' may be any of 2 places"));
    CHECK_THAT(said, Catch::Contains("\n  \"46.8772,-96.7898\"   Fargo, North Dakota"));
    CHECK_THAT(said, Catch::Contains("\n  \"36.3742,-99.6237\"   Fargo, Oklahoma"));
}

TEST_CASE("the first finder that knows a text is believed") {
    const MadeFinder empty({});
    const MadeFinder first({fargo("America/Chicago")});
    const MadeFinder second({elsewhere()});
    CHECK(find_destination(starter(), "Fargo", "", {{&empty, &first, &second}, {}}).place.name ==
          "Fargo, North Dakota");
    CHECK(second.asked == 0);
}

TEST_CASE("a text that nobody knows is answered with the nearest place and who was asked") {
    const MadeFinder empty({});
    const BrokenFinder broken;
    const std::string said = complaint("Dulut MN", {{&empty, &broken}, {}});
    CHECK_THAT(said, Catch::Contains("did you mean 'Duluth MN'?"));
    CHECK_THAT(said,
               Catch::Contains("Nothing found by: a made finder, a broken finder (finder.test: did not"));
}

TEST_CASE("a found place without a clock is given that of the weather service") {
    const MadeFinder finder({fargo("")});
    const Destination found = find_destination(
        starter(), "Fargo ND", "", {{&finder}, [](const Place&) { return std::string("America/Chicago"); }});
    CHECK(found.place.zone == "America/Chicago");
    CHECK_THAT(found.remark, Catch::Contains("; taking the clock America/Chicago for Fargo, North Dakota"));
}

TEST_CASE("a place whose clock nobody knows needs a zone") {
    const MadeFinder finder({fargo("")});
    CHECK_THAT(complaint("Fargo ND", {{&finder}, [](const Place&) { return std::string(); }}),
               Catch::Contains("--zone is needed for Fargo, North Dakota"));
    CHECK(find_destination(starter(), "Fargo ND", "America/Chicago", {{&finder}, {}}).place.zone ==
          "America/Chicago");
}

TEST_CASE("coordinates far from any place take the clock of the weather service") {
    const PlaceHelp help{{}, [](const Place&) { return std::string("America/Chicago"); }};
    CHECK(find_destination(starter(), "46.8772,-96.7898", "", help).place.zone == "America/Chicago");
}
