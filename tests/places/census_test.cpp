#include "mildway/places/census.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/files.hpp"
#include "mildway/fetch/curl_transport.hpp"
#include "mildway/fetch/disk_cache.hpp"
#include "mildway/fetch/fetcher.hpp"

#include "catch.hpp"
#include "http_server.hpp"
#include "temp_workspace.hpp"

#include <string>
#include <vector>

using namespace mildway;
using namespace mildway::places;
using testing::HttpServer;
using testing::Reply;
using testing::Seen;

namespace {

std::string fixture(const std::string& file) {
    return read_file(std::filesystem::path(MILDWAY_SOURCE_DIR) / "fixtures/places" / file, 1 << 20);
}

std::vector<Candidate> parse_fixture(const std::string& file) {
    return parse_census(file, fixture(file));
}

Reply reply(int status, const std::string& body, const std::string& content_type = "application/json") {
    Reply made;
    made.status = status;
    made.body = body;
    made.content_type = content_type;
    return made;
}

/// A geocoder that always gives the same reply.
class Setup {
public:
    explicit Setup(Reply made) : reply_(std::move(made)) {}

    [[nodiscard]] std::vector<Candidate> find(const std::string& text) const {
        const fetch::Fetcher fetcher(&transport_, &cache_, [this] { return now_; });
        return CensusFinder(&fetcher, server_.url()).find(text);
    }
    void later(hours time) { now_ += time; }
    [[nodiscard]] std::vector<Seen> seen() const { return server_.seen(); }

private:
    Reply reply_;
    testing::TempFolder folder_;
    HttpServer server_{[this](const Seen& /*seen*/) { return reply_; }};
    fetch::CurlTransport transport_{
        {.user_agent = "mildway-test (test@example.org)", .first_wait = fetch::milliseconds(1)}};
    fetch::DiskCache cache_{folder_.path()};
    Instant now_ = parse_instant("2027-03-01T11:00:00Z").value();
};

}  // namespace

TEST_CASE("a matched address is a place with x as its longitude") {
    const auto found = parse_fixture("census_one.json");
    REQUIRE(found.size() == 1);
    CHECK(found[0].place.name == "12 OTTER LN, OTTERFIELD, NE, 69999");
    CHECK(found[0].place.latitude_deg == 40.0045);
    CHECK(found[0].place.longitude_deg == -100.0123);
    CHECK(found[0].place.zone.empty());
    CHECK(found[0].source == "US Census geocoder");
}

TEST_CASE("a matched address is in its state's region and in none when no state is told") {
    const auto region_of = [](const std::string& from, const std::string& to) {
        std::string answer = fixture("census_one.json");
        const auto at = answer.find(from);
        REQUIRE(at != std::string::npos);
        return parse_census("census_one.json", answer.replace(at, from.size(), to)).at(0).place.region;
    };
    CHECK(region_of("\"NE\"", "\"NE\"") == "US-NE");
    CHECK(region_of("\"state\": \"NE\"", "\"state\": \"PR\"") == "US-PR");
    CHECK(region_of("\"state\": \"NE\"", "\"state\": \"XX\"").empty());
    CHECK(region_of("\"state\": \"NE\"", "\"county\": \"NE\"").empty());
    CHECK(region_of("addressComponents", "otherComponents").empty());
}

TEST_CASE("each of several matches is a candidate in the order of the answer") {
    const auto found = parse_fixture("census_two.json");
    REQUIRE(found.size() == 2);
    CHECK(found[0].place.name == "12 OTTER LN, OTTERFIELD, NE, 69999");
    CHECK(found[1].place.name == "12 OTTER LN, NEWTVILLE, KS, 67999");
}

TEST_CASE("no match is no candidate") {
    CHECK(parse_census("inline", R"({"result": {"input": {}, "addressMatches": []}})").empty());
}

TEST_CASE("what is no answer of the geocoder is refused with the reason") {
    const auto [text, reason] = GENERATE(table<std::string, std::string>({
        {R"({"errors": ["Address cannot be empty", "Benchmark is unknown"], "status": "400"})",
         "the geocoder refused: Address cannot be empty; Benchmark is unknown"},
        {R"({"result": {"geographies": {"Counties": [{"status": "Layer query encountered an error"}]}}})",
         "/result: has no \"addressMatches\""},
        {R"({"result": {"addressMatches": [{"matchedAddress": "1 OTTER LN"}]}})", "has no \"coordinates\""},
        {R"({"result": {"addressMatches": [{"matchedAddress": "A", "coordinates": {"x": null, "y": 40}}]}})",
         "/result/addressMatches/0/coordinates/x: is null; expected a number"},
        {R"({"result": {"addressMatches": [{"matchedAddress": "A", "coordinates": {"x": 40, "y": -100}}]}})",
         "/result/addressMatches/0/coordinates/y: -100 is outside -90 to 90 degrees"},
        {"<html>Service Unavailable</html>", "it is not valid JSON"},
        {R"({"result": {"addressMatches": [)", "it is cut short"},
    }));
    CHECK_THROWS_WITH(parse_census("inline", text), Catch::StartsWith("inline: ") && Catch::Contains(reason));
}

TEST_CASE("an address is asked for in one line of the current benchmark") {
    const Setup setup(reply(200, fixture("census_one.json")));
    CHECK(setup.find("12 Otter Lane, Otterfield NE #4").size() == 1);
    REQUIRE(setup.seen().size() == 1);
    CHECK(setup.seen()[0].target ==
          "/geocoder/locations/onelineaddress?address=12%20Otter%20Lane%2C%20Otterfield%20NE%20%234"
          "&benchmark=Public_AR_Current&format=json");
}

TEST_CASE("a text without a house number is not asked about") {
    const std::string text = GENERATE("Duluth MN", "55802", "55802-1234", "", "  ", "Route 66");
    const Setup setup(reply(200, fixture("census_one.json")));
    CHECK(setup.find(text).empty());
    CHECK(setup.seen().empty());
}

TEST_CASE("house numbers with letters are house numbers") {
    const std::string text =
        GENERATE("12 Otter Lane", "12B Otter Lane", "12-34 Otter Lane", "W6789 County Road Q");
    const Setup setup(reply(200, fixture("census_one.json")));
    CHECK(setup.find(text).size() == 1);
}

TEST_CASE("an address is asked for once in a season") {
    Setup setup(reply(200, fixture("census_one.json")));
    (void)setup.find("12 Otter Lane, Otterfield NE");
    setup.later(hours(89 * 24));
    CHECK(setup.find("12 Otter Lane, Otterfield NE").size() == 1);
    CHECK(setup.seen().size() == 1);
}

TEST_CASE("an answer without a match is kept too") {
    const Setup setup(reply(200, R"({"result": {"addressMatches": []}})"));
    CHECK(setup.find("12 Otter Lane").empty());
    CHECK(setup.find("12 Otter Lane").empty());
    CHECK(setup.seen().size() == 1);
}

TEST_CASE("a geocoder that refuses is an error in its own words") {
    const Setup setup(reply(400, R"({"errors": ["Benchmark is unknown"], "status": "400"})"));
    CHECK_THROWS_WITH(setup.find("12 Otter Lane"),
                      Catch::StartsWith("US Census geocoder: '12 Otter Lane' could not be looked up: ") &&
                          Catch::Contains("answered 400: Benchmark is unknown"));
}

TEST_CASE("a geocoder that fails is an error and not an unknown place") {
    const Setup setup(reply(503, "<html>busy</html>", "text/html"));
    CHECK_THROWS_AS(setup.find("12 Otter Lane"), WeatherError);
}

TEST_CASE("a page in place of an answer is an error and not an unknown place") {
    const Setup setup(reply(200, "<html>Maintenance</html>", "text/html"));
    CHECK_THROWS_WITH(setup.find("12 Otter Lane"), Catch::Contains("not valid JSON"));
}
