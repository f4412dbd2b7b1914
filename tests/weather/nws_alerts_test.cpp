#include "mildway/base/errors.hpp"
#include "mildway/base/files.hpp"
#include "mildway/weather/nws.hpp"

#include "catch.hpp"

#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

using namespace mildway;
using namespace mildway::weather;

namespace {

std::vector<Alert> fixture() {
    const auto file = std::filesystem::path(MILDWAY_SOURCE_DIR) / "fixtures/weather/nws/alerts.json";
    return parse_nws_alerts("alerts.json", read_file(file, 1 << 20));
}

Alert the(const std::string& event) {
    const auto alerts = fixture();
    const auto found =
        std::find_if(alerts.begin(), alerts.end(), [&](const Alert& alert) { return alert.event == event; });
    REQUIRE(found != alerts.end());
    return *found;
}

bool has(const std::string& event) {
    const auto alerts = fixture();
    return std::any_of(alerts.begin(), alerts.end(),
                       [&](const Alert& alert) { return alert.event == event; });
}

/// The alert of an answer with one feature, of which these are the properties beside what is always there.
Alert alert_with(const std::string& properties) {
    const auto alerts = parse_nws_alerts("inline", R"({"features": [{"properties": {"status": "Actual",
        "messageType": "Alert", "sent": "2027-03-01T10:00:00Z", "expires": "2027-03-01T20:00:00Z",)" +
                                                       properties + "}}]}");
    REQUIRE(alerts.size() == 1);
    return alerts.front();
}

}  // namespace

TEST_CASE("a warning tells its event its code its severity and its headline") {
    const Alert alert = the("Winter Storm Warning");
    CHECK(alert.phenomenon == "WS");
    CHECK(alert.severity == "Severe");
    CHECK(alert.headline == "Winter Storm Warning issued March 1 at 4:00AM CST until March 3 at 12:00PM CST");
}

TEST_CASE("a warning begins at its onset and ends at its end and not when the message lapses") {
    const Alert alert = the("Winter Storm Warning");
    CHECK(format_instant(alert.begins) == "2027-03-03T00:00:00Z");
    CHECK(format_instant(alert.ends.value()) == "2027-03-03T18:00:00Z");
}

TEST_CASE("a warning without an onset begins when it takes effect") {
    CHECK(format_instant(the("Cold Weather Advisory").begins) == "2027-03-01T10:00:00Z");
}

TEST_CASE("without ends the ending time of the event counts before the code") {
    CHECK(format_instant(the("Cold Weather Advisory").ends.value()) == "2027-03-02T15:30:00Z");
}

TEST_CASE("without both the end in the code counts") {
    CHECK(format_instant(the("High Wind Warning").ends.value()) == "2027-03-02T06:00:00Z");
}

TEST_CASE("a warning until further notice has no end") {
    CHECK_FALSE(the("Flood Warning").ends.has_value());
    CHECK_FALSE(the("Air Quality Alert").ends.has_value());
}

TEST_CASE("an ending time that cannot be read gives way to the code") {
    const Alert alert =
        alert_with(R"("event": "Blizzard Warning", "parameters": {"eventEndingTime": ["tonight"],
        "VTEC": ["/O.NEW.KABC.BZ.W.0001.270301T1200Z-270302T0600Z/"]})");
    CHECK(format_instant(alert.ends.value()) == "2027-03-02T06:00:00Z");
}

TEST_CASE("tests and messages that call off a warning are left out") {
    CHECK_FALSE(has("Tornado Warning"));   // status Test
    CHECK_FALSE(has("Blizzard Warning"));  // messageType Cancel
}

TEST_CASE("a warning whose code says it is called off is left out") {
    CHECK_FALSE(has("Ice Storm Warning"));
}

TEST_CASE("of several codes the one that is in force counts") {
    CHECK(the("Winter Weather Advisory").phenomenon == "WW");
}

TEST_CASE("the number of warnings in force is that of the answer less those left out") {
    CHECK(fixture().size() == 7);
}

TEST_CASE("a warning that names no status counts") {
    const auto alerts = parse_nws_alerts(
        "inline",
        R"({"features": [{"properties": {"event": "Tornado Warning", "sent": "2027-03-01T10:00:00Z"}}]})");
    CHECK(alerts.size() == 1);
}

TEST_CASE("a warning without a code is known by its name") {
    const auto [event, phenomenon] = GENERATE(table<std::string, std::string>({
        {"Winter Storm Watch", "WS"},     {"Winter Weather Advisory", "WW"}, {"Blizzard Warning", "BZ"},
        {"Ice Storm Warning", "IS"},      {"Snow Squall Warning", "SQ"},     {"Extreme Cold Warning", "EC"},
        {"Cold Weather Advisory", "CW"},  {"Wind Chill Warning", "WC"},      {"Extreme Heat Warning", "XH"},
        {"Excessive Heat Warning", "EH"}, {"Heat Advisory", "HT"},           {"Freeze Warning", "FZ"},
        {"High Wind Warning", "HW"},      {"Flash Flood Warning", "FF"},     {"Flood Watch", "FA"},
        {"Hurricane Warning", "HU"},      {"Tropical Storm Watch", "TR"},    {"Air Quality Alert", ""},
        {"Rip Current Statement", ""},
    }));
    INFO(event);
    CHECK(alert_with(R"("event": ")" + event + "\"").phenomenon == phenomenon);
}

TEST_CASE("a code counts before the name") {
    CHECK(alert_with(R"("event": "Winter Storm Warning",
        "parameters": {"VTEC": ["/O.NEW.KABC.IS.W.0001.270301T1200Z-270302T0600Z/"]})")
              .phenomenon == "IS");
}

TEST_CASE("a code that is not one is passed over") {
    const std::string code =
        GENERATE("", "/", "//", "O.NEW.KABC.IS.W.0001.270301T1200Z-270302T0600Z", "/O.NEW.KABC.IS.W.0001/",
                 "/O.NEW.KABC.IS.W.0001.270301T1200Z/", "/O.NEW.KABC.IS.W.0001.279901T1200Z-270302T0600Z/",
                 "/ABCD2.2.ER.270228T1200Z.270301T0600Z.000000T0000Z.NO/",
                 "/O.new.KABC.IS.W.1.270301T1200Z-270302T0600Z/");
    INFO(code);
    const Alert alert =
        alert_with(R"("event": "Blizzard Warning", "parameters": {"VTEC": [")" + code + R"("]})");
    CHECK(alert.phenomenon == "BZ");
    CHECK_FALSE(alert.ends.has_value());
}

TEST_CASE("no features are no warnings") {
    CHECK(parse_nws_alerts("inline", R"({"features": []})").empty());
}

TEST_CASE("what is no list of warnings is refused with the reason") {
    const auto [text, reason] = GENERATE(table<std::string, std::string>({
        {R"({"title": "Invalid Parameter", "detail": "Parameter \"point\" is invalid: out of bounds"})",
         "not a list of warnings: Invalid Parameter (Parameter \"point\" is invalid: out of bounds)"},
        {R"({"type": "Feature"})", "there is no \"features\""},
        {R"({"features": null})", "/features: is null; expected a list"},
        {R"({"features": [{}]})", "/features/0: has no \"properties\""},
        {R"({"features": [{"properties": {"sent": "2027-03-01T10:00:00Z"}}]})", "has no \"event\""},
        {R"({"features": [{"properties": {"event": "Flood"}}]})", "says neither when the event begins nor"},
        {R"({"features": [{"properties": {"event": "Flood", "sent": "2027-03-01T10:00:00Z", "ends": "soon"}}]})",
         "/features/0/properties/ends: 'soon' is not a time with its offset"},
        {"<!DOCTYPE html>", "it is not valid JSON"},
    }));
    CHECK_THROWS_WITH(parse_nws_alerts("inline", text),
                      Catch::StartsWith("inline: ") && Catch::Contains(reason));
}
