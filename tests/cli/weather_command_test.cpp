#include "catch.hpp"
#include "command.hpp"
#include "report_text.hpp"
#include "xml_check.hpp"

using namespace mildway;
using testing::Arguments;
using testing::Outcome;
using testing::TempWorkspace;

namespace {

Outcome weather_in(const TempWorkspace& workspace, const Arguments& more = {},
                   const char* clock = testing::kMonday) {
    return testing::run_in(workspace, testing::quick({"weather", "Duluth MN"}, more), clock);
}

}  // namespace

TEST_CASE("the weather at a place is printed day by day") {
    TempWorkspace workspace;
    const Outcome outcome = weather_in(workspace);
    CHECK(outcome.code == cli::kDone);
    CHECK_THAT(outcome.out, Catch::Contains("Duluth MN (46.7867,-92.1005)") &&
                                Catch::Contains("\nMon 1 Mar ") && Catch::Contains("\nSun 7 Mar "));
}

TEST_CASE("option --days of weather sets how many days are shown") {
    TempWorkspace workspace;
    CHECK(weather_in(workspace, {"--days", "2", "--json"}).json()["days"].size() == 2);
}

TEST_CASE("option --json of weather prints JSON") {
    TempWorkspace workspace;
    CHECK(weather_in(workspace, {"--json"}).json()["document"] == "mildway weather");
}

TEST_CASE("option --svg of weather draws into a file") {
    TempWorkspace workspace;
    const auto file = workspace.path() / "air.svg";
    const Outcome outcome = weather_in(workspace, {"--svg", file.string()});
    CHECK_THAT(outcome.err, Catch::Contains("note: drawing written to"));
    CHECK(testing::XmlCheck(testing::slurp(file)).problem().empty());
}

TEST_CASE("option --zone of weather gives coordinates their clock") {
    TempWorkspace workspace;
    const Outcome outcome = testing::run_in(workspace, {"weather", "46.7867,-92.1005", "--zone",
                                                        "America/Chicago", "--json", "--scenarios", "64"});
    CHECK(outcome.json()["zone"] == "America/Chicago");
}

TEST_CASE("option --scenarios of weather is rounded up to a multiple of four") {
    TempWorkspace workspace;
    CHECK(weather_in(workspace, {"--scenarios", "65"}).code == cli::kDone);
    CHECK(weather_in(workspace, {"--scenarios", "65", "--json"}).out ==
          weather_in(workspace, {"--scenarios", "68", "--json"}).out);
}

TEST_CASE("option --recorded of weather reads another folder") {
    TempWorkspace workspace;
    std::filesystem::rename(workspace.path() / "weather", workspace.path() / "elsewhere");
    CHECK(weather_in(workspace, {"--recorded", (workspace.path() / "elsewhere").string()}).code ==
          cli::kDone);
    CHECK(weather_in(workspace).code == cli::kNoWeather);
}

TEST_CASE("stale weather is shown with a warning and exit code 3") {
    TempWorkspace workspace;
    const Outcome outcome = weather_in(workspace, {}, "2027-03-02T13:00:00Z");
    CHECK(outcome.code == cli::kNoWeather);
    CHECK_THAT(testing::flat(outcome.out),
               Catch::Contains("is stale") && Catch::Contains("Do not plan with this."));
}

TEST_CASE("the weather at an unknown place is wrong usage") {
    TempWorkspace workspace;
    const Outcome outcome = testing::run_in(workspace, {"weather", "Dulut MN"});
    CHECK(outcome.code == cli::kWrongUsage);
    CHECK_THAT(outcome.err, Catch::Contains("did you mean 'Duluth MN'?"));
}
