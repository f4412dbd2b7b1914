// services.json: carriers, hubs, legs by template and waits, read and with one fault at a time.
#include "service_file.hpp"

using namespace mildway;
using namespace mildway::transit;
using namespace mildway::transit::fixtures;

TEST_CASE("What a carrier says holds for its services unless they say otherwise") {
    ordered_json file = sound_file();
    const Services services = read(file);
    const Service& like_carrier = services.find("s");
    CHECK(like_carrier.carrier == "Carrier");
    CHECK(like_carrier.accepts == WeekdaySet{false, true, false, false, false, true, false});
    file["services"][0]["accepts"] = {"Wed"};
    const Services changed = read(file);
    CHECK(changed.find("s").accepts == WeekdaySet{false, false, false, true, false, false, false});
    CHECK(changed.find("s").delivers == like_carrier.delivers);
}

TEST_CASE("A leg by template is that template under its name") {
    const Services services = read(sound_file());
    const LegPlan& counter = services.find("s").legs.at(0);
    CHECK(counter.name == "counter");
    CHECK(counter.setting == settings().find("indoors"));
    CHECK(counter.stretch.to == Role::counter);
    CHECK(counter.end.clock == minutes{18 * 60});
    CHECK(counter.end.spread_minutes == 20);
}

TEST_CASE("What a leg says otherwise than its template goes before and the rest stays") {
    ordered_json file = sound_file();
    auto& leg = file["services"][0]["legs"][2];
    leg["name"] = "last flight";
    leg["setting"] = "trailer";
    leg["ends"] = {{"clock", "07:15"}, {"on", "delivery-day"}, {"spread_minutes", 5}};
    const Services services = read(file);
    const LegPlan& changed = services.find("s").legs.at(2);
    CHECK(changed.name == "last flight");
    CHECK(changed.setting == settings().find("trailer"));
    CHECK(changed.stretch.from == Role::hub);  // the template's
    CHECK(changed.end.clock == minutes{7 * 60 + 15});
    CHECK(changed.end.from == LegEnd::From::delivery_day);
    CHECK(changed.end.plus_days == 0);  // an end is replaced whole
}

TEST_CASE("A leg may take the place of its template and leave the way to it") {
    ordered_json file = sound_file();
    file["leg_templates"]["way on"]["from"] = "counter";
    auto& legs = file["services"][0]["legs"];
    legs[2]["from"] = "hub";
    legs[2]["to"] = "destination";
    CHECK(read(file).find("s").legs.at(2).stretch.from == Role::hub);
}

TEST_CASE("Shares of the way are read and joined") {
    ordered_json file = sound_file();
    auto& service = file["services"][0];
    service.erase("hubs");
    const auto part = [](const char* name, double from, double to, const char* clock) {
        return ordered_json{
            {"name", name},         {"setting", "trailer"},
            {"from", "counter"},    {"to", "destination"},
            {"shares", {from, to}}, {"ends", {{"clock", clock}, {"on", "ship-day"}, {"plus_days", 1}}}};
    };
    auto& legs = service["legs"];
    legs[1] = part("first half", 0, 0.4, "02:00");
    legs[2] = part("second half", 0.4, 1, "06:00");
    service["late"]["waits"][0]["after"] = "first half";
    const Services services = read(file);
    const Stretch& second = services.find("s").legs.at(2).stretch;
    CHECK(second.from_share == 0.4);
    CHECK(second.share_at(0.5) == Approx(0.7).margin(1e-12));
    legs.insert(legs.begin() + 2, part("standing", 0.4, 0.4, "04:00"));
    CHECK_NOTHROW(read(file));

    legs[2] = part("standing", 0.4, 0.5, "04:00");
    CHECK_THAT(complaint_about(file),
               Catch::Contains("hold a leg 'second half' that begins 40 % of the way from the counter to the "
                               "destination, but the parcel is 50 % of the way from the counter to the "
                               "destination by then"));
    for (const ordered_json& shares :
         {ordered_json{0.4}, ordered_json{0.4, 0.3}, ordered_json{-0.1, 0.4}, ordered_json{0.4, 1.1}}) {
        legs[2]["shares"] = shares;
        CHECK_THAT(complaint_about(file),
                   Catch::Contains("/services/0/legs/2/shares: expected two shares of the way from 'from' to "
                                   "'to', such as [0, 0.4], rising and within 0 to 1"));
    }
}

TEST_CASE("A carrier that is unknown is answered with the nearest and one twice is refused") {
    CHECK(complaint("/services/0/carrier", "cc") ==
          "services.json:1: /services/0/carrier: no carrier is called 'cc'; did you mean 'c'? (known: c)");
    ordered_json file = sound_file();
    file["carriers"].push_back(file["carriers"][0]);
    CHECK_THAT(complaint_about(file),
               Catch::Contains("/carriers/1/id: is 'c' a second time; expected each id once"));
    CHECK_THAT(complaint_without("/carriers/0", "source"), Catch::Contains("/carriers/0/source: is missing"));
    CHECK_THAT(complaint("/carriers/0/late_together", 1.5),
               Catch::Contains("/carriers/0/late_together: ") && Catch::Contains("from 0 to 1"));
}

TEST_CASE("Days of acceptance and delivery must come from the service or its carrier") {
    CHECK_THAT(complaint_without("/carriers/0", "accepts"),
               Catch::Contains("/services/0/accepts: is missing; expected the weekdays on which parcels are "
                               "taken in"));
    CHECK_THAT(complaint_without("/carriers/0", "delivers"),
               Catch::Contains("/services/0/delivers: is missing; expected the weekdays on which parcels are "
                               "delivered"));
}

TEST_CASE("A hub must be a place of the workspace and there are two at most") {
    CHECK_THAT(complaint("/services/0/hubs", {"St Louis MO"}),
               Catch::Contains("/services/0/hubs: no place is called 'St Louis MO'; did you mean 'St. Louis "
                               "MO'?"));
    CHECK_THAT(complaint("/services/0/hubs", {"St. Louis MO", "New York NY", "Los Angeles CA"}),
               Catch::Contains("/services/0/hubs: names 3 places; expected at most two"));
}

TEST_CASE("A leg at a hub that the service does not pass is refused") {
    CHECK_THAT(complaint_without("/services/0", "hubs"),
               Catch::Contains("/services/0/legs/1: is at the hub, but the service passes 0 hubs; name it in "
                               "'hubs'"));
    ordered_json file = sound_file();
    auto& legs = file["services"][0]["legs"];
    legs[1]["to"] = "second-hub";
    legs[2]["from"] = "second-hub";
    legs[2]["to"] = "destination";
    CHECK_THAT(complaint_about(file),
               Catch::Contains("is at the second-hub, but the service passes 1 hub; name it in 'hubs'"));
}

TEST_CASE("A service may pass two hubs and each that it names must be passed") {
    ordered_json file = sound_file();
    auto& service = file["services"][0];
    service["hubs"] = {"St. Louis MO", "Los Angeles CA"};
    CHECK_THAT(complaint_about(file),
               Catch::Contains("/services/0/hubs: name Los Angeles CA, but no leg passes the second-hub; "
                               "expected a leg there or no such hub"));
    auto between = service["legs"][1];
    between["name"] = "way between hubs";
    between["from"] = "hub";
    between["to"] = "second-hub";
    between["ends"]["clock"] = "04:00";
    service["legs"].insert(service["legs"].begin() + 2, between);
    service["legs"][3]["from"] = "second-hub";
    service["legs"][3]["to"] = "destination";
    CHECK(read(file).find("s").hubs.at(1).name == "Los Angeles CA");
}

TEST_CASE("A clock at a hub that the service does not pass is refused") {
    ordered_json file = sound_file();
    file["services"][0]["legs"][4]["ends"]["at"] = "second-hub";
    CHECK_THAT(complaint_about(file), Catch::Contains("is at the second-hub, but the service passes 1 hub"));
}

TEST_CASE("A leg never goes back") {
    CHECK_THAT(complaint("/services/0/legs/1/from", "destination"),
               Catch::Contains("/services/0/legs/1/to: is 'hub', which comes before 'destination'; a leg "
                               "never goes back"));
}

TEST_CASE("A pick-up before the cut-off is refused") {
    for (const char* cut_off : {"18:00", "18:01"}) {
        CHECK_THAT(complaint("/services/0/cut_off", cut_off),
                   Catch::Contains("/services/0/legs: hold a leg 'counter' that ends at the counter no later "
                                   "than the cut-off; expected the pick-up after it"));
    }
    CHECK(complaint("/services/0/cut_off", "17:59").empty());
}

TEST_CASE("Two legs of one name and names of the drive are refused") {
    for (const char* name : {"station", "packed", "drive", "parked"}) {
        CHECK_THAT(complaint("/services/0/legs/4/name", name),
                   Catch::Contains(std::string("hold a leg '") + name +
                                   "', a name which another leg has; expected each name once"));
    }
}

TEST_CASE("A leg template that is unknown is answered with the nearest") {
    CHECK_THAT(complaint("/services/0/legs/0/leg", "countre"),
               Catch::Contains("/services/0/legs/0/leg: no leg template is called 'countre'; did you mean "
                               "'counter'? (known: counter, way on)"));
}

TEST_CASE("A leg template must be whole") {
    for (const char* key : {"setting", "ends"}) {
        CHECK_THAT(complaint_without("/leg_templates/counter", key),
                   Catch::Contains(std::string("/leg_templates/counter/") + key + ": is missing"));
    }
    CHECK_THAT(complaint_without("/leg_templates/counter", "place"),
               Catch::Contains("/leg_templates/counter/from: is missing"));
    CHECK_THAT(complaint("/leg_templates/counter/name", "desk"),
               Catch::Contains("/leg_templates/counter/name: is not a key mildway knows here"));
}

TEST_CASE("Shares of waits must sum to one") {
    for (const double share : {0.2, 0.31}) {
        CHECK_THAT(complaint("/services/0/late/waits/1/share", share),
                   Catch::Contains("/services/0/late/waits: have shares that sum to ") &&
                       Catch::Contains("; expected 1"));
    }
    ordered_json file = sound_file();
    file["services"][0]["late"]["waits"] = {{{"after", "van"}, {"share", 0.9}}};
    CHECK_THAT(complaint_about(file), Catch::Contains("have shares that sum to 0.9; expected 1"));
    CHECK_THAT(complaint_without("/services/0/late/waits/0", "share"),
               Catch::Contains("/services/0/late/waits/0/share: is missing"));
}

TEST_CASE("A late parcel must have somewhere to wait") {
    CHECK_THAT(complaint("/services/0/late/waits", ordered_json::array()),
               Catch::Contains("/services/0/late/waits: is empty; expected where a late parcel waits"));
    CHECK_THAT(complaint_without("/services/0/late", "waits"),
               Catch::Contains("/services/0/late/waits: is missing"));
}

TEST_CASE(
    "A late parcel does not wait after the leg of the buyer nor twice after one nor after one that lasts") {
    CHECK_THAT(complaint("/services/0/late/waits/1/after", "doorstep"),
               Catch::Contains("/services/0/late/waits/1/after: is 'doorstep', the buyer's leg; expected a "
                               "leg of the carrier"));
    CHECK_THAT(complaint("/services/0/late/waits/1/after", "way to hub"),
               Catch::Contains("/services/0/late/waits/1/after: names the same leg as another wait; expected "
                               "each leg once"));
    ordered_json file = sound_file();
    file["services"][0]["legs"][1]["ends"] = {{"lasts_minutes", 300}};
    CHECK_THAT(complaint_about(file),
               Catch::Contains("/services/0/late/waits/0/after: is 'way to hub', which lasts a fixed while; "
                               "expected a leg that ends at a clock time"));
}

TEST_CASE("A wait in an unknown setting is answered with the nearest") {
    CHECK_THAT(complaint("/services/0/late/waits/1/setting", "vehicel"),
               Catch::Contains("/services/0/late/waits/1/setting: no setting is called 'vehicel'; did you "
                               "mean 'vehicle'?"));
}

TEST_CASE("A promise before the end of the van is refused") {
    CHECK_THAT(complaint("/services/0/promised_by", "09:59"),
               Catch::Contains("/services/0/promised_by: is before the leg 'van' ends; expected a promise "
                               "that the legs keep"));
    CHECK(complaint("/services/0/promised_by", "10:00").empty());
}

TEST_CASE("A pick-up before the cut-off is refused behind legs that last a while as well") {
    ordered_json file = sound_file();
    auto& legs = file["services"][0]["legs"];
    legs[0] = {
        {"name", "queue"}, {"setting", "indoors"}, {"place", "counter"}, {"ends", {{"lasts_minutes", 20}}}};
    const auto pick_up_at = [&](const char* clock) {
        legs.insert(legs.begin() + 1, ordered_json{{"name", "pick-up"},
                                                   {"setting", "vehicle"},
                                                   {"place", "counter"},
                                                   {"ends", {{"clock", clock}, {"on", "ship-day"}}}});
        const std::string complaint = complaint_about(file);
        legs.erase(legs.begin() + 1);
        return complaint;
    };
    CHECK_THAT(pick_up_at("17:50"),
               Catch::Contains("'pick-up' that ends at the counter no later than the cut-off"));
    CHECK(pick_up_at("17:51").empty());
}
