// Every fault a weather service has shown, served to the whole program: a sound plan, or none, with a
// sentence; never a crash, never a made-up value (docs/trust.md, "A bad or missing forecast").
#include "catch.hpp"
#include "live_services.hpp"
#include "report_text.hpp"

using namespace mildway;
using testing::Fault;
using testing::flat;
using testing::LiveServices;
using testing::Outcome;
using testing::Reply;

namespace {

using Json = nlohmann::ordered_json;

struct Case {
    std::string name;
    Reply reply;
    std::string says;  ///< what the person is told
};

Reply geo(const std::string& body) {
    return {.body = body, .content_type = "application/geo+json"};
}

Reply problem(int status, const std::string& type, const std::string& title) {
    return {.status = status,
            .body = Json{{"type", "https://api.weather.gov/problems/" + type},
                         {"title", title},
                         {"status", status},
                         {"detail", "made for a test"}}
                        .dump(),
            .content_type = "application/problem+json"};
}

Reply faulty(Fault fault) {
    return {.body = LiveServices::forecast_file("duluth"),
            .content_type = "application/geo+json",
            .fault = fault};
}

std::string duluth_but(const std::function<void(Json&)>& change) {
    Json json = Json::parse(LiveServices::forecast_file("duluth"));
    change(json);
    return json.dump();
}

Json& temperatures(Json& json) {
    return json["properties"]["temperature"]["values"];
}

/// Faults of the gridpoint answer for the destination after which nothing is known there.
std::vector<Case> fatal_faults() {
    return {
        {"time-out", faulty(Fault::hang), "did not answer"},
        {"hang up", faulty(Fault::close_before_answer), "127.0.0.1"},
        {"reset in the middle", faulty(Fault::reset_in_body), "127.0.0.1"},
        {"cut under a length", faulty(Fault::cut_length), "127.0.0.1"},
        {"cut without a length", faulty(Fault::cut_body), "it is cut short"},
        {"gzip bomb", faulty(Fault::gzip_bomb), "more than 8 MB"},
        {"50 MB body", geo(std::string(50u << 20, ' ')), "more than 8 MB"},
        {"redirect loop",
         {.status = 302, .content_type = "", .headers = {"Location: /gridpoints/duluth"}},
         "redirect"},
        {"not found", problem(404, "NotFound", "Not Found"), "Not Found"},
        {"too many requests", {.status = 429, .headers = {"Retry-After: 3600"}}, "429"},
        {"internal error", problem(500, "UnexpectedProblem", "Unexpected Problem"), "500"},
        {"unavailable", problem(503, "ServiceUnavailable", "Service Unavailable"), "503"},
        {"grid expired", problem(503, "ForecastGridExpired", "Forecast Grid Expired"), "expired"},
        {"empty body", geo(""), "empty"},
        {"HTML", {.body = "<html>Maintenance</html>", .content_type = "text/html"}, "not valid JSON"},
        {"error document with status 200", geo(problem(500, "X", "Unexpected Problem").body),
         "Unexpected Problem"},
        {"truncated JSON", geo(LiveServices::forecast_file("duluth").substr(0, 5000)), "it is cut short"},
        {"nulls", geo(duluth_but([](Json& json) {
             for (auto& sample : temperatures(json)) sample["value"] = nullptr;
         })),
         "holds no value at any hour"},
        {"missing layer", geo(duluth_but([](Json& json) { json["properties"].erase("temperature"); })),
         "there is no such layer"},
        {"wrong unit",
         geo(duluth_but([](Json& json) { json["properties"]["temperature"]["uom"] = "wmoUnit:K"; })),
         "the unit is 'wmoUnit:K'"},
        {"NaN text", geo(duluth_but([](Json& json) { temperatures(json)[3]["value"] = "NaN"; })),
         "expected a number"},
        {"overlapping intervals", geo(duluth_but([](Json& json) {
             temperatures(json)[3]["validTime"] = temperatures(json)[2]["validTime"];
         })),
         "two values claim the time"},
        {"month-long interval", geo(duluth_but([](Json& json) {
             temperatures(json)[3]["validTime"] = "2027-03-01T08:00:00+00:00/P1M";
         })),
         "P1M"},
        {"400 hours", geo(duluth_but([](Json& json) {
             temperatures(json).push_back({{"validTime", "2027-04-01T00:00:00+00:00/PT1H"}, {"value", 1}});
         })),
         "a forecast has at most"},
        {"200 degrees", geo(duluth_but([](Json& json) { temperatures(json)[9]["value"] = 200; })),
         "outside what air can be"},
    };
}

}  // namespace

TEST_CASE("a fault in the only source leaves no weather and says which") {
    const auto fault = GENERATE(from_range(fatal_faults()));
    CAPTURE(fault.name);
    LiveServices services;
    services.answer("/gridpoints/duluth", fault.reply);
    const Outcome outcome = services.plan({"--days", "1"});
    CHECK(outcome.code == cli::kNoWeather);
    CHECK(outcome.out.empty());
    CHECK_THAT(flat(outcome.err), Catch::Contains("Duluth MN"));
    CHECK_THAT(flat(outcome.err), Catch::Contains(fault.says));
}

TEST_CASE("a fault in one source leaves the plan to the other and is told") {
    const auto fault = GENERATE(from_range(fatal_faults()));
    CAPTURE(fault.name);
    LiveServices services({"nws", "met-norway"});
    services.answer("/gridpoints/duluth", fault.reply);
    const Outcome outcome = services.plan({"--days", "1"});
    REQUIRE(outcome.code <= cli::kNeedsPerson);
    CHECK_THAT(flat(outcome.out), Catch::Contains("not used: ") && Catch::Contains(fault.says));
}

TEST_CASE("a refused connection leaves no weather") {
    LiveServices services;
    services.workspace().edit_json(
        "workspace.json", [](Json& json) { json["weather"]["hosts"]["nws"] = "http://127.0.0.1:1"; });
    const Outcome outcome = services.plan({"--days", "1"});
    CHECK(outcome.code == cli::kNoWeather);
    CHECK_THAT(outcome.err, Catch::Contains("refused"));
}

TEST_CASE("a point outside the service is told as such") {
    LiveServices services;
    services.answer("/points/46.7867", problem(404, "InvalidPoint", "Data Unavailable For Requested Point"));
    const Outcome outcome = services.plan({"--days", "1"});
    CHECK(outcome.code == cli::kNoWeather);
    CHECK_THAT(flat(outcome.err), Catch::Contains("outside the area of the US National Weather Service"));
}

TEST_CASE("an answer with status 200 that is 88 hours old makes the plan unknown") {
    LiveServices services;
    services.change("duluth",
                    [](Json& json) { json["properties"]["updateTime"] = "2027-02-25T21:00:00+00:00"; });
    const Outcome outcome = services.plan({"--days", "1"});
    CHECK(outcome.code == cli::kNoWeather);
    CHECK_THAT(flat(outcome.out), Catch::Contains("is stale") && Catch::Contains("88 hours ago"));
}

TEST_CASE("a forecast issued tomorrow makes the plan unknown") {
    LiveServices services;
    services.change("duluth",
                    [](Json& json) { json["properties"]["updateTime"] = "2027-03-02T13:00:00+00:00"; });
    const Outcome outcome = services.plan({"--days", "1"});
    CHECK(outcome.code == cli::kNoWeather);
    CHECK_THAT(flat(outcome.out), Catch::Contains("later than now; check the clock"));
}

TEST_CASE("a clock a day off is noticed") {
    LiveServices services;
    const Outcome outcome = services.run({"weather", "Duluth MN"}, "2027-03-02T13:00:00Z");
    CHECK_THAT(outcome.err, Catch::Contains("note: ") && Catch::Contains("check the clock"));
}

TEST_CASE("a missing snow layer is unknown and not no snow") {
    LiveServices services;
    services.change("duluth", [](Json& json) { json["properties"].erase("snowfallAmount"); });
    const Outcome outcome = services.run({"weather", "Duluth MN", "--json"});
    REQUIRE(outcome.code == cli::kDone);
    const auto json = outcome.json();
    for (const auto& day : json["days"]) CHECK(day["snow_mm"].is_null());
}

TEST_CASE("intervals out of order give the same plan") {
    LiveServices services;
    const Outcome sorted = services.plan({"--days", "1", "--json"});
    LiveServices others;
    others.change("duluth", [](Json& json) {
        auto& values = temperatures(json);
        std::reverse(values.begin(), values.end());
    });
    CHECK(others.plan({"--days", "1", "--json"}).json()["options"] == sorted.json()["options"]);
}

TEST_CASE("a server error that passes is asked again and the plan is whole") {
    LiveServices services;
    int failures = 2;
    services.answer_instead([&](const testing::Seen& seen) -> std::optional<Reply> {
        if (seen.target.find("/gridpoints/duluth") == std::string::npos || failures == 0) return std::nullopt;
        --failures;
        return problem(500, "UnexpectedProblem", "Unexpected Problem");
    });
    CHECK(services.plan({"--days", "1"}).code <= cli::kNeedsPerson);
}

TEST_CASE("a renumbered cell is looked up anew") {
    LiveServices services;
    (void)services.plan({"--days", "1"});
    services.answer_instead([&](const testing::Seen& seen) -> std::optional<Reply> {
        if (seen.target.starts_with("/gridpoints/duluth-new"))
            return geo(LiveServices::forecast_file("duluth"));
        if (seen.target.starts_with("/gridpoints/duluth")) return problem(404, "NotFound", "Not Found");
        if (seen.target.starts_with("/points/46.7867"))
            return geo(Json{{"properties",
                             {{"forecastGridData", services.url() + "/gridpoints/duluth-new"},
                              {"timeZone", "America/Chicago"}}}}
                           .dump());
        return std::nullopt;
    });
    CHECK(services.plan({"--days", "1"}, "2027-03-01T14:00:00Z").code <= cli::kNeedsPerson);
}

TEST_CASE("a redirect from the precision of a point is followed") {
    LiveServices services;
    services.answer_instead([&](const testing::Seen& seen) -> std::optional<Reply> {
        if (seen.target != "/points/46.7867,-92.1005") return std::nullopt;
        return Reply{.status = 301,
                     .body = problem(301, "AdjustPointPrecision", "Adjusting Precision").body,
                     .content_type = "application/problem+json",
                     .headers = {"Location: /points/46.787,-92.1"}};
    });
    CHECK(services.plan({"--days", "1"}).code <= cli::kNeedsPerson);
}

TEST_CASE("warnings that cannot be asked for are told and stop nothing") {
    LiveServices services;
    services.answer("/alerts/active", problem(500, "UnexpectedProblem", "Unexpected Problem"));
    const Outcome outcome = services.run({"weather", "Duluth MN"});
    CHECK(outcome.code == cli::kDone);
    CHECK_THAT(flat(outcome.out), Catch::Contains("Warnings in force: not known."));
}
