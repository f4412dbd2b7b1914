// The National Weather Service's source against a server on this computer: real sockets, the program's own
// transport and cache.
#include "mildway/weather/nws.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/files.hpp"
#include "mildway/fetch/curl_transport.hpp"
#include "mildway/fetch/disk_cache.hpp"
#include "mildway/fetch/fetcher.hpp"

#include "catch.hpp"
#include "http_server.hpp"
#include "temp_workspace.hpp"

#include <algorithm>
#include <map>
#include <mutex>
#include <string>
#include <vector>

using namespace mildway;
using namespace mildway::weather;
using testing::Fault;
using testing::HttpServer;
using testing::Reply;
using testing::Seen;

namespace {

std::string fixture(const std::string& file) {
    return read_file(std::filesystem::path(MILDWAY_SOURCE_DIR) / "fixtures/weather" / file, 1 << 20);
}

Reply plain(int status, const std::string& body) {
    Reply reply;
    reply.status = status;
    reply.body = body;
    return reply;
}

Reply problem(int status, const std::string& kind, const std::string& title, const std::string& detail) {
    Reply reply;
    reply.status = status;
    reply.content_type = "application/problem+json";
    reply.body = R"({"type": "https://api.weather.gov/problems/)" + kind + R"(", "title": ")" + title +
                 R"(", "status": )" + std::to_string(status) + R"(, "detail": ")" + detail + "\"}";
    return reply;
}

constexpr const char* kPoint = "/points/40,-100";
constexpr const char* kGrid = "/gridpoints/ABC/10,20";
constexpr const char* kMovedGrid = "/gridpoints/ABC/11,20";
constexpr const char* kAlerts = "/alerts/active?point=40,-100";

/// A service that answers as it should, until a test says otherwise; and a program with a cache of its own.
class Setup {
public:
    Setup() {
        replies_[kPoint].body = fixture("nws/point.json");
        replies_[kGrid].body = fixture("plain_cell.json");
        replies_[kAlerts].body = fixture("nws/alerts.json");
    }

    void answer(const std::string& target, Reply reply) {
        const std::lock_guard lock(mutex_);
        replies_[target] = std::move(reply);
    }
    void answer(const std::string& target, const std::string& body) { answer(target, plain(200, body)); }
    void later(hours time) { now_ += time; }

    [[nodiscard]] std::vector<Reading> read(const std::vector<Place>& places) const {
        const fetch::Fetcher fetcher(&transport_, &cache_, [this] { return now_; });
        return NwsSource(&fetcher, server_.url()).read(places);
    }
    [[nodiscard]] Reading read() const { return read({middle()}).front(); }
    [[nodiscard]] Reading read_offline() const {
        const fetch::Fetcher fetcher(nullptr, &cache_, [this] { return now_; });
        const Place place = middle();
        return NwsSource(&fetcher, server_.url()).read(std::span(&place, 1)).front();
    }
    [[nodiscard]] NwsPoint point() const {
        const fetch::Fetcher fetcher(&transport_, &cache_, [this] { return now_; });
        return NwsSource(&fetcher, server_.url()).point(middle());
    }

    [[nodiscard]] static Place middle() { return {"Otterfield NE", 40.0, -100.0, "America/Chicago"}; }
    [[nodiscard]] std::vector<Seen> seen() const { return server_.seen(); }
    [[nodiscard]] std::ptrdiff_t times_asked(const std::string& target) const {
        const auto all = server_.seen();
        return std::count_if(all.begin(), all.end(), [&](const Seen& seen) { return seen.target == target; });
    }
    [[nodiscard]] std::string url() const { return server_.url(); }

private:
    Reply reply_to(const std::string& target) {
        const std::lock_guard lock(mutex_);
        const auto found = replies_.find(target);
        return found == replies_.end() ? problem(404, "NotFound", "Not Found", "Not Found") : found->second;
    }

    testing::TempFolder folder_;
    std::mutex mutex_;
    std::map<std::string, Reply> replies_;
    HttpServer server_{[this](const Seen& seen) { return reply_to(seen.target); }};
    fetch::CurlTransport transport_{{.user_agent = "mildway-test (test@example.org)",
                                     .answer_time = fetch::milliseconds(20'000),
                                     .silence = fetch::milliseconds(20'000),
                                     .first_wait = fetch::milliseconds(1)}};
    fetch::DiskCache cache_{folder_.path()};
    Instant now_ = parse_instant("2027-03-01T11:00:00Z").value();
};

std::string all_of(const std::vector<std::string>& sentences) {
    std::string all;
    for (const std::string& sentence : sentences) all += sentence + "\n";
    return all;
}

}  // namespace

TEST_CASE("a place gets the forecast of its cell and who says so and when it was fetched") {
    const Setup setup;
    const Reading reading = setup.read();
    CHECK(reading.reason.empty());
    REQUIRE(reading.outlook.has_value());
    CHECK(reading.outlook->source == "US National Weather Service");
    CHECK(reading.outlook->origin == setup.url() + kGrid);
    CHECK(reading.outlook->temp_c.front() == std::vector<double>{1, 1, 2.5, 4, 4, 4});
    CHECK(format_instant(reading.outlook->issued) == "2027-03-01T10:12:00Z");
    CHECK(format_instant(reading.outlook->fetched.value()) == "2027-03-01T11:00:00Z");
    CHECK(all_of(reading.outlook->findings).empty());
    CHECK_FALSE(reading.outlook->at_sea);
}

TEST_CASE("a place gets the warnings in force") {
    const Reading reading = Setup().read();
    REQUIRE(reading.outlook.has_value());
    CHECK(reading.outlook->alerts_known);
    CHECK(reading.outlook->alerts.size() == 7);
}

TEST_CASE("an answer without warnings is known to have none") {
    Setup setup;
    setup.answer(kAlerts, fixture("nws/alerts_none.json"));
    const Reading reading = setup.read();
    CHECK(reading.outlook.value().alerts_known);
    CHECK(reading.outlook.value().alerts.empty());
}

TEST_CASE("the service is asked for GeoJSON by a program that names itself") {
    const Setup setup;
    (void)setup.read();
    for (const Seen& seen : setup.seen()) {
        INFO(seen.target);
        CHECK(seen.headers.at("accept") == "application/geo+json");
        CHECK(seen.headers.at("user-agent") == "mildway-test (test@example.org)");
    }
}

TEST_CASE("coordinates are asked with four decimals and no zeros at their end") {
    const auto [latitude, longitude, target] = GENERATE(table<double, double, std::string>({
        {40.0, -100.0, "/points/40,-100"},
        {40.12346, -100.1, "/points/40.1235,-100.1"},
        {40.5, -0.00001, "/points/40.5,0"},
        {40.00004, -99.99996, "/points/40,-100"},
        {40.1, -100.1001, "/points/40.1,-100.1001"},
    }));
    const Setup setup;
    (void)setup.read({{"somewhere", latitude, longitude, ""}});
    CHECK(setup.seen().front().target == target);
}

TEST_CASE("a second question within ten minutes asks the service nothing") {
    const Setup setup;
    (void)setup.read();
    const std::size_t asked = setup.seen().size();
    CHECK(setup.read().outlook.has_value());
    CHECK(asked == 3);
    CHECK(setup.seen().size() == asked);
}

TEST_CASE("after an hour the forecast is asked for again but not the point") {
    Setup setup;
    (void)setup.read();
    setup.later(hours(1));
    const Reading reading = setup.read();
    CHECK(setup.times_asked(kGrid) == 2);
    CHECK(setup.times_asked(kAlerts) == 2);
    CHECK(setup.times_asked(kPoint) == 1);
    CHECK(format_instant(reading.outlook.value().fetched.value()) == "2027-03-01T12:00:00Z");
}

TEST_CASE("after a week the point is asked for again") {
    Setup setup;
    (void)setup.read();
    setup.later(hours(7 * 24 + 1));
    (void)setup.read();
    CHECK(setup.times_asked(kPoint) == 2);
}

TEST_CASE("places in one cell share its answer and readings come in the order of the places") {
    Setup setup;
    setup.answer("/points/40.001,-100", fixture("nws/point.json"));
    setup.answer("/points/10,10",
                 problem(404, "InvalidPoint", "Data Unavailable For Requested Point", "none"));
    const auto readings = setup.read({{"Otterfield NE", 40.0, -100.0, ""},
                                      {"at sea", 10.0, 10.0, ""},
                                      {"north of it", 40.001, -100.0, ""}});
    REQUIRE(readings.size() == 3);
    CHECK(readings[0].outlook.has_value());
    CHECK_FALSE(readings[1].outlook.has_value());
    CHECK(readings[2].outlook.has_value());
    CHECK(setup.times_asked(kGrid) == 1);
}

TEST_CASE("a point outside the service's area is told as that") {
    Setup setup;
    setup.answer(kPoint, problem(404, "InvalidPoint", "Data Unavailable For Requested Point",
                                 "Unable to provide data for requested point 40,-100"));
    const Reading reading = setup.read();
    CHECK_FALSE(reading.outlook.has_value());
    CHECK(reading.reason ==
          "Otterfield NE (40.0000,-100.0000) lies outside the area of the US National Weather Service");
}

TEST_CASE("a renumbered cell is found by asking for the point anew") {
    Setup setup;
    (void)setup.read();  // keeps the old link
    setup.later(hours(2));
    setup.answer(kPoint, fixture("nws/point_renumbered.json"));
    setup.answer(kGrid, problem(404, "NotFound", "Not Found", "Not Found"));
    setup.answer(kMovedGrid, fixture("plain_cell.json"));
    const Reading reading = setup.read();
    REQUIRE(reading.outlook.has_value());
    CHECK(reading.outlook->origin == setup.url() + kMovedGrid);
    CHECK(all_of(reading.outlook->findings).empty());
    CHECK(reading.outlook->alerts_known);
    CHECK(setup.times_asked(kPoint) == 2);
}

TEST_CASE("a cell that is lost for good is told and the point is asked for anew only once") {
    Setup setup;
    setup.answer(kGrid, problem(404, "NotFound", "Not Found", "Not Found"));
    const Reading reading = setup.read();
    CHECK_FALSE(reading.outlook.has_value());
    CHECK_THAT(reading.reason, Catch::Contains("no longer knows the grid cell of Otterfield NE") &&
                                   Catch::Contains("answered 404"));
    CHECK(setup.times_asked(kPoint) == 2);
    CHECK(setup.times_asked(kGrid) == 1);
}

TEST_CASE("a cell that is lost today is answered from the copy of two hours ago") {
    Setup setup;
    (void)setup.read();
    setup.later(hours(2));
    setup.answer(kGrid, problem(404, "NotFound", "Not Found", "Not Found"));
    const Reading reading = setup.read();
    REQUIRE(reading.outlook.has_value());
    CHECK_THAT(all_of(reading.outlook->findings),
               Catch::Contains("answered 404: Not Found; using the copy fetched 2 h ago"));
}

TEST_CASE("a cell that is lost and moved to a broken one is answered from the old copy") {
    Setup setup;
    (void)setup.read();
    setup.later(hours(2));
    setup.answer(kPoint, fixture("nws/point_renumbered.json"));
    setup.answer(kGrid, problem(404, "NotFound", "Not Found", "Not Found"));
    setup.answer(kMovedGrid, problem(500, "UnexpectedProblem", "Unexpected Problem", "none"));
    const Reading reading = setup.read();
    REQUIRE(reading.outlook.has_value());
    CHECK(reading.outlook->origin == setup.url() + kGrid);
    CHECK_THAT(all_of(reading.outlook->findings), Catch::Contains("using the copy fetched 2 h ago"));
}

TEST_CASE("a marine cell without a forecast is told in words") {
    Setup setup;
    setup.answer(kGrid, problem(404, "MarineForecastNotSupported", "Marine Forecast Not Supported",
                                "Forecasts for marine areas are not yet supported by this API."));
    CHECK_THAT(setup.read().reason, Catch::Contains("the point lies in its marine areas"));
}

TEST_CASE("a marine point with a forecast is told to lie in water") {
    Setup setup;
    setup.answer(kPoint, fixture("nws/point_marine.json"));
    CHECK(setup.read().outlook.value().at_sea);
}

TEST_CASE("a point without a grid has no forecast") {
    Setup setup;
    setup.answer(kPoint, fixture("nws/point_without_grid.json"));
    CHECK(setup.read().reason ==
          "the US National Weather Service has no forecast grid at Otterfield NE (40.0000,-100.0000)");
}

TEST_CASE("a link to another host is not followed") {
    Setup setup;
    setup.answer(kPoint, fixture("nws/point_elsewhere.json"));
    const Reading reading = setup.read();
    CHECK_FALSE(reading.outlook.has_value());
    CHECK_THAT(reading.reason, Catch::Contains("'https://weather.invalid/gridpoints/ABC/10,20'") &&
                                   Catch::Contains("not followed"));
    CHECK(setup.seen().size() == 1);
}

TEST_CASE("a link to another part of the service or with a query is not followed") {
    const std::string link =
        GENERATE("https://api.weather.gov/offices/ABC", "https://api.weather.gov.invalid/gridpoints/A/1,1",
                 "https://api.weather.gov/gridpoints/A/1,1?units=us",
                 "https://api.weather.gov/gridpoints/../stations");
    Setup setup;
    setup.answer(kPoint, R"({"properties": {"forecastGridData": ")" + link + "\"}}");
    CHECK_THAT(setup.read().reason, Catch::Contains("not followed"));
    CHECK(setup.seen().size() == 1);
}

TEST_CASE("an expired grid is told with the time it was issued") {
    Setup setup;
    setup.answer(
        kGrid, problem(503, "ForecastGridExpired", "Forecast Grid Expired",
                       "The requested forecast grid was issued 2027-02-27T11:36:27+00:00 and has expired."));
    CHECK_THAT(setup.read().reason, Catch::Contains("has expired and there is no newer one yet") &&
                                        Catch::Contains("issued 2027-02-27T11:36:27+00:00"));
}

TEST_CASE("a service that fails is answered from the copy of five hours ago which says so") {
    Setup setup;
    (void)setup.read();
    setup.later(hours(5));
    setup.answer(kGrid, problem(500, "UnexpectedProblem", "Unexpected Problem",
                                "An unexpected problem has occurred."));
    const Reading reading = setup.read();
    REQUIRE(reading.outlook.has_value());
    CHECK_THAT(all_of(reading.outlook->findings),
               Catch::Contains(
                   "answered 500: Unexpected Problem (An unexpected problem has occurred.); using the copy "
                   "fetched 5 h ago"));
    CHECK(format_instant(reading.outlook->fetched.value()) == "2027-03-01T11:00:00Z");
}

TEST_CASE("a service that fails with nothing kept gives its reason") {
    Setup setup;
    setup.answer(kGrid, problem(500, "UnexpectedProblem", "Unexpected Problem",
                                "An unexpected problem has occurred."));
    const Reading reading = setup.read();
    CHECK_FALSE(reading.outlook.has_value());
    CHECK_THAT(reading.reason, Catch::Contains("answered 500: Unexpected Problem"));
}

TEST_CASE("a refusal of the program points to the contact") {
    Setup setup;
    setup.answer(kPoint, plain(403, "<html>Access denied</html>"));
    CHECK_THAT(setup.read().reason, Catch::Contains("403") && Catch::Contains("contact in workspace.json"));
}

TEST_CASE("an answer with status 200 that is no forecast is never used") {
    const auto [body, reason] = GENERATE(table<std::string, std::string>({
        {R"({"title": "Unexpected Problem", "detail": "none"})", "an error answer of the service"},
        {"<html><body>Maintenance</body></html>", "not valid JSON"},
        {R"({"properties": {"updateTime": "2027-03-01T10:12:00Z"}})", "temperature: there is no such layer"},
        {R"({"properties": {"updateTime": "2027-03-01T10:12:00Z", "temperature": {"uom": "wmoUnit:degC", "values": [)",
         "cut short"},
    }));
    Setup setup;
    setup.answer(kGrid, body);
    const Reading reading = setup.read();
    CHECK_FALSE(reading.outlook.has_value());
    CHECK_THAT(reading.reason, Catch::Contains(reason));
}

TEST_CASE("an answer with status 200 that is no forecast never replaces a good copy") {
    Setup setup;
    (void)setup.read();
    setup.later(hours(1));
    setup.answer(kGrid, fixture("bad/hot_as_an_oven.json"));
    for (int i = 0; i < 2; ++i) {
        const Reading reading = setup.read();
        REQUIRE(reading.outlook.has_value());
        CHECK(reading.outlook->temp_c.front()[3] == 4);
        CHECK_THAT(all_of(reading.outlook->findings), Catch::Contains("using the copy fetched 1 h ago"));
    }
}

TEST_CASE("a forecast issued long ago comes through with its age and is not renewed by fetching") {
    Setup setup;
    std::string body = fixture("plain_cell.json");
    const std::string time = "2027-03-01T10:12:00";
    body.replace(body.find(time), time.size(), "2027-02-25T19:00:00");  // 88 hours before now
    setup.answer(kGrid, body);
    CHECK(format_instant(setup.read().outlook.value().issued) == "2027-02-25T19:00:00Z");
}

TEST_CASE("a cell that does not hold the place is told with the distance") {
    Setup setup;
    setup.answer("/points/40.1,-100", fixture("nws/point.json"));
    const Reading reading = setup.read({{"north of it", 40.1, -100.0, ""}}).front();
    REQUIRE(reading.outlook.has_value());
    // 0.1 degree of a meridian is 11.1 km
    CHECK_THAT(all_of(reading.outlook->findings),
               Catch::Contains("north of it does not lie in the grid cell that the US National Weather "
                               "Service answered for, but 11.1 km from its middle"));
}

TEST_CASE("an answer that names no area is doubted") {
    Setup setup;
    setup.answer(kGrid, fixture("unordered_with_gap.json"));
    CHECK_THAT(all_of(setup.read().outlook.value().findings),
               Catch::Contains("does not say which area its forecast is for"));
}

TEST_CASE("warnings that cannot be had are told and the forecast is used") {
    Setup setup;
    setup.answer(kAlerts, problem(400, "InvalidParameter", "Invalid Parameter", "out of bounds"));
    const Reading reading = setup.read();
    REQUIRE(reading.outlook.has_value());
    CHECK_FALSE(reading.outlook->alerts_known);
    CHECK_THAT(all_of(reading.outlook->findings),
               Catch::Contains("active warnings could not be asked for: ") &&
                   Catch::Contains("Invalid Parameter (out of bounds)"));
}

TEST_CASE("warnings of an hour ago are used when the service fails and that is told") {
    Setup setup;
    (void)setup.read();
    setup.later(hours(1));
    setup.answer(kAlerts, problem(500, "UnexpectedProblem", "Unexpected Problem", "none"));
    const Reading reading = setup.read();
    REQUIRE(reading.outlook.has_value());
    CHECK(reading.outlook->alerts.size() == 7);
    CHECK_THAT(all_of(reading.outlook->findings), Catch::Contains("those of 1 h ago are used"));
}

TEST_CASE("warnings of yesterday are not used") {
    Setup setup;
    (void)setup.read();
    setup.later(hours(24));
    setup.answer(kAlerts, problem(500, "UnexpectedProblem", "Unexpected Problem", "none"));
    const Reading reading = setup.read();
    REQUIRE(reading.outlook.has_value());
    CHECK_FALSE(reading.outlook->alerts_known);
    CHECK(reading.outlook->alerts.empty());
}

TEST_CASE("offline a fresh copy is used without a word") {
    const Setup setup;
    (void)setup.read();
    const Reading reading = setup.read_offline();
    REQUIRE(reading.outlook.has_value());
    CHECK(all_of(reading.outlook->findings).empty());
}

TEST_CASE("offline an older copy is used with its age") {
    Setup setup;
    (void)setup.read();
    setup.later(hours(9));
    CHECK_THAT(all_of(setup.read_offline().outlook.value().findings),
               Catch::Contains("using the copy fetched 9 h ago"));
}

TEST_CASE("offline with nothing kept there is no forecast") {
    const Setup setup;
    const Reading reading = setup.read_offline();
    CHECK_FALSE(reading.outlook.has_value());
    CHECK_THAT(reading.reason, Catch::Contains("offline"));
}

TEST_CASE("a server that hangs up in the middle is trouble and not a forecast") {
    const Fault fault =
        GENERATE(Fault::close_before_answer, Fault::reset_in_body, Fault::cut_body, Fault::cut_length);
    Setup setup;
    Reply reply = plain(200, fixture("plain_cell.json"));
    reply.fault = fault;
    setup.answer(kGrid, reply);
    const Reading reading = setup.read();
    CHECK_FALSE(reading.outlook.has_value());
    CHECK_FALSE(reading.reason.empty());
}

TEST_CASE("a point tells the clock of a place") {
    CHECK(Setup().point().zone == "America/Chicago");
}

TEST_CASE("a point that cannot be asked for is an error with the reason") {
    Setup setup;
    setup.answer(kPoint, problem(404, "InvalidPoint", "Data Unavailable For Requested Point", "none"));
    CHECK_THROWS_WITH(setup.point(), Catch::Contains("lies outside the area"));
}

TEST_CASE("the source covers the United States and its islands and nothing far from them") {
    const fetch::DiskCache cache("unused");
    const fetch::Fetcher fetcher(nullptr, &cache, [] { return Instant{}; });
    const NwsSource source(&fetcher);
    const auto [latitude, longitude, covered] = GENERATE(table<double, double, bool>({
        {46.79, -92.10, true},    // Duluth
        {24.56, -81.78, true},    // Key West
        {61.22, -149.90, true},   // Anchorage
        {52.85, 173.18, true},    // Attu
        {21.31, -157.86, true},   // Honolulu
        {18.47, -66.11, true},    // San Juan
        {13.48, 144.75, true},    // Hagatna
        {-14.28, -170.70, true},  // Pago Pago
        {51.50, -0.12, false},    // London
        {19.43, -99.13, false},   // Mexico City
        {53.55, -113.49, false},  // Edmonton
        {-33.87, 151.21, false},  // Sydney
    }));
    CAPTURE(latitude, longitude);
    CHECK(source.covers({"", latitude, longitude, ""}) == covered);
}
