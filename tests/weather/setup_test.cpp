#include "mildway/weather/setup.hpp"

#include "catch.hpp"
#include "temp_workspace.hpp"

#include <sys/stat.h>

using namespace mildway;
using namespace mildway::weather;

namespace {

WeatherSetup setup_of(const std::string& fields, const std::filesystem::path& folder = ".") {
    return WeatherSetup::read(
        ConfigNode::parse("workspace.json",
                          "{\"stale_after_hours\": 12" + (fields.empty() ? "" : ", " + fields) + "}"),
        folder);
}

std::string complaint(const std::string& fields, const std::filesystem::path& folder = ".") {
    try {
        (void)setup_of(fields, folder);
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

}  // namespace

TEST_CASE("without a word the free sources are asked and the normals stand behind them") {
    const WeatherSetup setup = setup_of("");
    CHECK(setup.sources == std::vector<SourceKind>{SourceKind::nws, SourceKind::met_norway});
    CHECK(setup.ask_all);
    CHECK(setup.beyond == Beyond::climate_normals);
    CHECK_FALSE(setup.open_meteo_allowed);
}

TEST_CASE("sources are read in their order") {
    const WeatherSetup setup = setup_of(R"("sources": ["met-norway", "nws"], "ask": "first")");
    CHECK(setup.sources == std::vector<SourceKind>{SourceKind::met_norway, SourceKind::nws});
    CHECK_FALSE(setup.ask_all);
}

TEST_CASE("a misspelt source is answered with the nearest") {
    CHECK_THAT(complaint(R"("sources": ["met-norwey"])"), Catch::Contains("did you mean 'met-norway'?"));
    CHECK_THAT(complaint(R"("sources": ["nws", "nws"])"), Catch::Contains("names 'nws' twice"));
    CHECK_THAT(complaint(R"("sources": [])"), Catch::Contains("at least one source"));
}

TEST_CASE("Open-Meteo is refused until its terms are met") {
    for (const char* fields :
         {R"("sources": ["open-meteo"])", R"("sources": ["nws", "open-meteo-ensemble"])",
          R"("beyond_forecast": "past-years")",
          R"("sources": ["open-meteo"], "open_meteo": {"my_use_is_not_commercial": false})"}) {
        CAPTURE(fields);
        CHECK_THAT(complaint(fields), Catch::Contains("non-commercial use only"));
    }
    CHECK(setup_of(R"("sources": ["open-meteo"], "open_meteo": {"my_use_is_not_commercial": true})")
              .open_meteo_allowed);
}

TEST_CASE("a key of Open-Meteo turns to the hosts of the paid service") {
    const testing::TempFolder folder;
    testing::spill(folder.path() / "key", "abc123\n");
    chmod((folder.path() / "key").c_str(), 0600);
    const WeatherSetup setup = setup_of(R"("open_meteo": {"api_key_file": "key"})", folder.path());
    CHECK(setup.open_meteo.api_key == "abc123");
    CHECK(setup.open_meteo.forecast == "https://customer-api.open-meteo.com");
    CHECK(setup.open_meteo_places_url == "https://customer-geocoding-api.open-meteo.com");
}

TEST_CASE("a key that others can read is refused and never shown") {
    const testing::TempFolder folder;
    testing::spill(folder.path() / "key", "abc123\n");
    chmod((folder.path() / "key").c_str(), 0644);
    const std::string said = complaint(R"("open_meteo": {"api_key_file": "key"})", folder.path());
    CHECK_THAT(said, Catch::Contains("can be read by others") && !Catch::Contains("abc123"));
}

TEST_CASE("a key with characters that no key has is refused and never shown") {
    const testing::TempFolder folder;
    testing::spill(folder.path() / "key", "abc&x=1\n");
    chmod((folder.path() / "key").c_str(), 0600);
    const std::string said = complaint(R"("open_meteo": {"api_key_file": "key"})", folder.path());
    CHECK_THAT(said, Catch::Contains("a character that no key has") && !Catch::Contains("abc"));
}

TEST_CASE("hosts are encrypted or on this computer") {
    CHECK(setup_of(R"("hosts": {"nws": "http://127.0.0.1:8080"})").nws_url == "http://127.0.0.1:8080");
    CHECK(setup_of(R"("hosts": {"nws": "https://mirror.test"})").nws_url == "https://mirror.test");
    for (const char* url : {"http://api.weather.gov", "https://", "ftp://a.test", "https://a.test/",
                            "https://a b", "http://127.0.0.1.evil.test", "https://u@a.test"}) {
        CAPTURE(url);
        CHECK_THAT(complaint(std::string(R"("hosts": {"nws": ")") + url + "\"}"),
                   Catch::Contains("expected https://"));
    }
}

TEST_CASE("the program names itself with the contact") {
    CHECK(setup_of(R"("contact": "me@breeder.test")").user_agent("w.json") ==
          "mildway/0.1.0 (me@breeder.test)");
}

TEST_CASE("live weather without a contact of the user's own is refused with the reason") {
    for (const char* contact : {"", R"j("contact": "me@example.org")j", R"j("contact": "me")j",
                                R"j("contact": "me@a.test (hi)")j", R"j("contact": "me@a.test\r\nX: y")j"}) {
        CAPTURE(contact);
        const WeatherSetup setup = setup_of(contact);
        CHECK_THROWS_WITH(setup.user_agent("w.json"),
                          Catch::Contains("w.json") && Catch::Contains("/weather/contact") &&
                              Catch::Contains("expected an e-mail or https address of yours"));
    }
}
