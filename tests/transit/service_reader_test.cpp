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
        "late": {"one_day": 0.03, "more_days": 0.01, "factor_by_weekday": {"Mon": 1.2},
                 "factor_after_holiday": 1.5, "waits": [{"after": "station"}]},
        "price": {"base_usd": 38}, "source": "made up for tests"})");
}

Service read(const ordered_json& service) {
    const ordered_json file{{"services", ordered_json::array({service})}};
    return Services::read(ConfigNode::parse("services.json", file.dump()), references()).all().front();
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
    CHECK(service.base_id == "s");
    CHECK(service.options.empty());
    CHECK(service.carrier == "S");  // a service that names no carrier is one by itself
    CHECK(service.calendar->holiday_on(day("2027-05-31")) != nullptr);
    CHECK(service.calendar->holiday_on(day("2027-06-01")) == nullptr);
    CHECK(service.cut_off == minutes{17 * 60 + 30});
    REQUIRE(service.waits.size() == 1);
    CHECK(service.waits[0].leg == 1);
    CHECK(service.waits[0].share == 1);
    CHECK(service.waits[0].setting == settings().find("warehouse"));  // that of the leg
    CHECK(service.waits[0].name == "wait after station");
    CHECK(service.late_factor_after_holiday == 1.5);
    CHECK(service.late_together == 0.5);
    CHECK(service.late_factor_by_weekday == std::array<double, 7>{1, 1.2, 1, 1, 1, 1, 1});
    REQUIRE(service.legs.size() == 3);
    CHECK(service.legs[0].stretch.from == Role::counter);
    CHECK(service.legs[0].stretch.to == Role::destination);
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
    CHECK_THAT(complaint("/late/waits/0/after", "statoin"),
               Catch::Contains("no leg is called 'statoin'; did you mean 'station'?"));
    CHECK_THAT(complaint("/late/factor_by_weekday/Mo", 2), Catch::Contains("/Mo: is not a key"));
}

TEST_CASE("A clock time that is none is refused") {
    CHECK_THAT(complaint("/cut_off", "5:30pm"),
               Catch::Contains("/cut_off: is '5:30pm'; expected a local clock time like 17:30"));
    CHECK_THAT(complaint("/legs/0/ends/clock", "24:30"), Catch::Contains("expected a local clock time"));
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
               Catch::Contains("/legs: is empty; expected at least one leg"));
    CHECK_THAT(complaint("/legs/0/from", "origin"),
               Catch::Contains("/legs: hold a leg 'flight' that begins at the origin, but the parcel is at "
                               "the counter by then; legs must join, from the counter to the destination"));
    CHECK_THAT(complaint("/legs/1/place", "counter"),
               Catch::Contains("'station' that begins at the counter, but the parcel is at the destination"));
}

TEST_CASE("The last leg must be at the destination") {
    ordered_json service = sound_service();
    for (auto& leg : service["legs"]) {
        leg.erase("from");
        leg.erase("to");
        leg["place"] = "counter";
    }
    service["legs"][0]["ends"]["clock"] = "05:00";
    CHECK_THROWS_WITH(
        read(service),
        Catch::Contains("/legs: must end at the destination; expected a last leg that is there"));
}

TEST_CASE("A leg of no length is refused where the clock alone tells") {
    ordered_json service = sound_service();
    for (const char* clock : {"06:00", "05:59"}) {
        service["legs"][1]["ends"] = {{"clock", clock}, {"on", "ship-day"}, {"plus_days", 1}};
        CHECK_THROWS_WITH(read(service),
                          Catch::Contains("/legs: hold a leg 'station' that is not after the end of the leg "
                                          "before it; a leg must have some length"));
    }
    service["legs"][1]["ends"]["clock"] = "06:01";
    CHECK_NOTHROW(read(service));
    CHECK_THAT(complaint("/legs/2/ends/lasts_minutes", 0), Catch::Contains("expected a number from 1 to"));
}

TEST_CASE("A leg ends by the clock or by its length and never by both") {
    CHECK_THAT(complaint("/legs/2/ends/clock", "10:00"),
               Catch::Contains("/legs/2/ends: expected either 'clock'"));
    CHECK_THAT(complaint("/legs/2/ends", ordered_json::object()), Catch::Contains("expected either 'clock'"));
}

TEST_CASE("A misspelt key is found at every depth of a service") {
    for (const char* pointer : {"/lable", "/legs/0/nmae", "/legs/0/ends/spred_minutes", "/late/tow_days",
                                "/late/waits/0/shrae", "/price/base_eur"}) {
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
    CHECK_THROWS_WITH(Services::read(ConfigNode::parse("services.json", file.dump()), references()),
                      Catch::Contains("/services/1/id: is 's' a second time"));
}
