// services.json with one fault at a time: the complaint names the field and what was expected.
#include "fixtures.hpp"

#include <nlohmann/json.hpp>

using namespace mildway;
using namespace mildway::transit;
using namespace mildway::transit::fixtures;
using nlohmann::ordered_json;

namespace {

ordered_json sound_service() {
    return ordered_json::parse(R"({
        "id": "s", "label": "S", "accepts": ["Mon"], "delivers": ["Tue"], "closed": ["2027-05-31"],
        "cut_off": "17:30", "hand_over": "16:30", "transit_service_days": 1, "promised_by": "10:30",
        "legs": [
            {"name": "flight", "setting": "aircraft", "from": "counter", "to": "destination",
             "ends": {"clock": "06:00", "on": "ship-day", "plus_days": 1, "spread_minutes": 30}},
            {"name": "station", "setting": "warehouse", "place": "destination",
             "ends": {"clock": "08:00", "on": "delivery-day", "at": "destination"}},
            {"name": "doorstep", "setting": "doorstep", "place": "destination",
             "ends": {"lasts_minutes": 45, "spread_factor": 2}}],
        "late_parcel_waits_in": "station",
        "late": {"one_day": 0.03, "more_days": 0.01, "factor_by_weekday": {"Mon": 1.2}},
        "price": {"base_usd": 38}, "source": "made up for tests"})");
}

Service read(const ordered_json& service) {
    const ordered_json file{{"services", ordered_json::array({service})}};
    return Services::read(ConfigNode::parse("services.json", file.dump()), settings()).all().front();
}

/// The complaint about a service with the value at `pointer` replaced.
std::string complaint(const char* pointer, const ordered_json& value) {
    ordered_json service = sound_service();
    service[ordered_json::json_pointer(pointer)] = value;
    try {
        (void)read(service);
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

}  // namespace

TEST_CASE("A service is read as it is written") {
    const Service service = read(sound_service());
    CHECK(service.accepts == WeekdaySet{false, true, false, false, false, false, false});
    CHECK(service.closed == std::vector<Date>{day("2027-05-31")});
    CHECK(service.cut_off == minutes{17 * 60 + 30});
    CHECK(service.waits_in_leg == 1);
    CHECK(service.late_factor_by_weekday == std::array<double, 7>{1, 1.2, 1, 1, 1, 1, 1});
    REQUIRE(service.legs.size() == 3);
    CHECK(service.legs[0].from == Role::counter);
    CHECK(service.legs[0].to == Role::destination);
    CHECK(service.legs[0].end.at == Role::destination);  // where the leg ends, when nothing else is said
    CHECK(service.legs[0].end.plus_days == 1);
    CHECK(service.legs[0].end.spread_minutes == 30);
    CHECK(service.legs[1].end.from == LegEnd::From::delivery_day);
    CHECK(service.legs[2].end.kind == LegEnd::Kind::lasts);
    CHECK(service.legs[2].end.length == minutes{45});
    CHECK(service.legs[2].end.spread_factor == 2);
}

TEST_CASE("An unknown name in a service is answered with the nearest") {
    CHECK(complaint("/accepts", {"Mon", "Tues"}) ==
          "services.json:1: /services/0/accepts: no weekday is called 'Tues'; did you mean 'Tue'? "
          "(known: Sun, Mon, Tue, Wed, Thu, Fri, Sat)");
    CHECK_THAT(
        complaint("/legs/1/setting", "warehose"),
        Catch::Contains("/legs/1/setting: no setting is called 'warehose'; did you mean 'warehouse'?"));
    CHECK_THAT(complaint("/legs/0/to", "destinaton"),
               Catch::Contains(
                   "/legs/0/to: no place of a lane is called 'destinaton'; did you mean 'destination'?"));
    CHECK_THAT(complaint("/late_parcel_waits_in", "statoin"),
               Catch::Contains("no leg is called 'statoin'; did you mean 'station'?"));
    CHECK_THAT(complaint("/late/factor_by_weekday/Mo", 2), Catch::Contains("/Mo: is not a key"));
}

TEST_CASE("A clock time or date that is none is refused") {
    CHECK_THAT(complaint("/cut_off", "5:30pm"),
               Catch::Contains("/cut_off: is '5:30pm'; expected a local clock time like 17:30"));
    CHECK_THAT(complaint("/legs/0/ends/clock", "24:30"), Catch::Contains("expected a local clock time"));
    CHECK_THAT(complaint("/closed", {"2027-02-30"}),
               Catch::Contains("/closed: holds '2027-02-30'; expected dates like 2027-05-31"));
}

TEST_CASE("A hand-over after the cut-off is refused") {
    CHECK_THAT(complaint("/hand_over", "17:31"), Catch::Contains("/hand_over: is after the cut-off"));
    CHECK(complaint("/hand_over", "17:30").empty());
}

TEST_CASE("Chances of lateness beyond nine in ten are refused") {
    CHECK_THAT(complaint("/late/one_day", 0.9), Catch::Contains("together exceed 0.9"));
    CHECK_THAT(complaint("/late/one_day", -0.1), Catch::Contains("expected a number from 0 to 1"));
}

TEST_CASE("A service needs days on which it accepts and delivers") {
    CHECK_THAT(complaint("/accepts", ordered_json::array()), Catch::Contains("/accepts: is empty"));
    CHECK_THAT(complaint("/delivers", ordered_json::array()), Catch::Contains("/delivers: is empty"));
}

TEST_CASE("Legs must lead from the counter to the destination without a jump") {
    CHECK_THAT(complaint("/legs", ordered_json::array()),
               Catch::Contains("/legs: must end at the destination"));
    CHECK_THAT(complaint("/legs/0/to", "hub"),
               Catch::Contains("/legs/1/place: is 'destination', but the parcel is at the hub by then"));
    CHECK_THAT(complaint("/legs/0/from", "origin"),
               Catch::Contains("but the parcel is at the counter by then"));
    CHECK_THAT(complaint("/legs/2/place", "hub"),
               Catch::Contains("but the parcel is at the destination by then"));
}

TEST_CASE("A leg of no length is refused where the clock alone tells") {
    ordered_json service = sound_service();
    service["legs"][1]["ends"] = {{"clock", "06:00"}, {"on", "ship-day"}, {"plus_days", 1}};
    CHECK_THROWS_WITH(read(service),
                      Catch::Contains("/legs/1/ends: is not after the end of the leg before it"));
    CHECK_THAT(complaint("/legs/2/ends/lasts_minutes", 0), Catch::Contains("expected a number from 1 to"));
}

TEST_CASE("A leg ends by the clock or by its length and never by both") {
    CHECK_THAT(complaint("/legs/2/ends/clock", "10:00"),
               Catch::Contains("/legs/2/ends: expected either 'clock'"));
    CHECK_THAT(complaint("/legs/2/ends", ordered_json::object()), Catch::Contains("expected either 'clock'"));
}

TEST_CASE("A late parcel can only wait in a leg that ends by the clock") {
    CHECK_THAT(complaint("/late_parcel_waits_in", "doorstep"), Catch::Contains("which lasts a fixed while"));
}

TEST_CASE("A misspelt key is found at every depth of a service") {
    for (const char* pointer :
         {"/lable", "/legs/0/nmae", "/legs/0/ends/spred_minutes", "/late/tow_days", "/price/base_eur"}) {
        INFO(pointer);
        CHECK_THAT(complaint(pointer, 1), Catch::Contains("is not a key mildway knows here"));
    }
}

TEST_CASE("A service without a source is refused") {
    ordered_json service = sound_service();
    service.erase("source");
    CHECK_THROWS_WITH(read(service), Catch::Contains("/source: is missing"));
}

TEST_CASE("Two services may not share an id") {
    const ordered_json file{{"services", {sound_service(), sound_service()}}};
    CHECK_THROWS_WITH(Services::read(ConfigNode::parse("services.json", file.dump()), settings()),
                      Catch::Contains("/services/1/id: is 's' a second time"));
}
