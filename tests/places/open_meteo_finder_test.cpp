#include "mildway/places/open_meteo_finder.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/files.hpp"
#include "mildway/fetch/curl_transport.hpp"

#include "catch.hpp"
#include "http_server.hpp"
#include "temp_workspace.hpp"

#include <filesystem>
#include <string>
#include <vector>

using namespace mildway;
using namespace mildway::places;
using namespace mildway::testing;
using Catch::Matchers::Contains;

namespace {

const std::string kSearch =
    read_file(std::filesystem::path(MILDWAY_SOURCE_DIR) / "fixtures/places/open_meteo_search.json", 1 << 20);

std::string replaced(std::string text, const std::string& from, const std::string& to) {
    const std::size_t at = text.find(from);
    if (at == std::string::npos) throw std::runtime_error("the text holds no " + from);
    return text.replace(at, from.size(), to);
}

/// A geocoder on this computer that gives one answer to all.
struct Geocoder {
    explicit Geocoder(std::string answer = kSearch, int answer_status = 200)
        : server([body = std::move(answer), answer_status](const Seen&) {
              Reply reply;
              reply.status = answer_status;
              reply.body = body;
              return reply;
          }) {}

    std::vector<std::string> find(const std::string& text) const {
        std::vector<std::string> names;
        for (const Candidate& found : OpenMeteoFinder(&fetcher, "", server.url()).find(text))
            names.push_back(found.place.name);
        return names;
    }

    HttpServer server;
    TempFolder folder;
    fetch::CurlTransport transport{
        {.user_agent = "mildway-test (test@example.org)", .first_wait = fetch::milliseconds(1)}};
    fetch::DiskCache cache{folder.path()};
    fetch::Fetcher fetcher{&transport, &cache,
                           [] { return Instant(date::sys_days(date::year(2027) / 3 / 1)); }};
};

const std::string kInMinnesota = "Alder Mill, Minnesota, United States";
const std::string kInGeorgia = "Alder Mill, Georgia, United States";
const std::string kInEngland = "Alder Mill, England, United Kingdom";

}  // namespace

TEST_CASE("a result becomes a place with its clock and height") {
    const auto candidates = parse_open_meteo_places("answer", kSearch);
    REQUIRE(candidates.size() == 5);
    const Place& place = candidates[0].place;
    CHECK(place.name == kInMinnesota);
    CHECK(place.latitude_deg == 46.5);
    CHECK(place.longitude_deg == -92.25);
    CHECK(place.zone == "America/Chicago");
    CHECK(place.elevation_m == 310);
    CHECK(candidates[0].source == "Open-Meteo geocoding (GeoNames)");
}

TEST_CASE("a height that is left out is unknown and a longitude that is left out is zero") {
    const auto candidates = parse_open_meteo_places("answer", kSearch);
    CHECK_FALSE(candidates[1].place.elevation_m);
    CHECK(candidates[2].place.longitude_deg == 0);
}

TEST_CASE("an answer without results is an answer of none") {
    CHECK(parse_open_meteo_places("answer", R"({"generationtime_ms": 0.1})").empty());
}

TEST_CASE("what is no list of places is refused") {
    CHECK_THROWS_WITH(parse_open_meteo_places("answer", R"({"error": true, "reason": "Parameter count"})"),
                      Contains("this is an error answer of the service"));
    CHECK_THROWS_WITH(parse_open_meteo_places("answer", "{}"), Contains("this is not a list of places"));
    CHECK_THROWS_AS(parse_open_meteo_places("answer", kSearch.substr(0, 300)), WeatherError);
    CHECK_THROWS_WITH(parse_open_meteo_places("answer", replaced(kSearch, "46.5", "146.5")),
                      Contains("/results/0/latitude: is no coordinate"));
    CHECK_THROWS_WITH(parse_open_meteo_places("answer", replaced(kSearch, R"("latitude": 51.5, )", "")),
                      Contains("/results/2: has no coordinates"));
}

TEST_CASE("a name alone finds all places of that name and no other") {
    CHECK(Geocoder().find("alder mill") == std::vector{kInMinnesota, kInGeorgia, kInEngland});
}

TEST_CASE("a state by abbreviation or name narrows with or without a comma") {
    const Geocoder geocoder;
    for (const char* text :
         {"Alder Mill MN", "alder mill mn", "Alder Mill, MN", "Alder Mill , Minnesota", "Alder Mill, MN, USA",
          "Alder Mill, MN, United States", "Alder Mill, Minnesota, US"}) {
        INFO(text);
        CHECK(geocoder.find(text) == std::vector{kInMinnesota});
    }
}

TEST_CASE("a country narrows and is not forced to the United States") {
    CHECK(Geocoder().find("Alder Mill, United Kingdom") == std::vector{kInEngland});
    CHECK(Geocoder().find("Alder Mill, GB") == std::vector{kInEngland});
}

TEST_CASE("a place that lies elsewhere is not found") {
    CHECK(Geocoder().find("Alder Mill, Ohio").empty());
    CHECK(Geocoder().find("Alder Mill, MN, United Kingdom").empty());
}

TEST_CASE("saint and its short form are one name") {
    CHECK(Geocoder().find("Saint Alder MN") ==
          std::vector<std::string>{"St. Alder, Minnesota, United States"});
}

TEST_CASE("a ZIP code finds the places that have it in every country") {
    CHECK(Geocoder().find("55999") == std::vector{kInMinnesota, kInEngland});
    CHECK(Geocoder().find("05998-1234") == std::vector{kInMinnesota});
    CHECK(Geocoder().find("55997").empty());
}

TEST_CASE("the town alone is asked for in an address that any name fits into") {
    const Geocoder geocoder;
    static_cast<void>(geocoder.find("Saint-Ren\xC3\xA9 & Co, MN"));
    CHECK(geocoder.server.seen().at(0).target ==
          "/v1/search?name=Saint-Ren%C3%A9%20%26%20Co&count=50&language=en&format=json");
}

TEST_CASE("a text that is too short is not asked about") {
    const Geocoder geocoder;
    CHECK(geocoder.find("A").empty());
    CHECK(geocoder.find(" , MN").empty());
    CHECK(geocoder.server.seen().empty());
}

TEST_CASE("a geocoder that fails is told") {
    const Geocoder geocoder("<html>busy</html>", 400);
    CHECK_THROWS_WITH(geocoder.find("Alder Mill"),
                      Contains("Open-Meteo geocoding (GeoNames): 127.0.0.1:") && Contains("answered 400"));
}
