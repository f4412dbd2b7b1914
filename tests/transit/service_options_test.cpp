// What can be bought along with a service, and how services.json may go wrong about it.
#include "service_file.hpp"

using namespace mildway;
using namespace mildway::transit;
using namespace mildway::transit::fixtures;

TEST_CASE("A service stands bare and once for each combination of options that go together") {
    const Services services = read(sound_file());
    std::vector<std::string> ids;
    for (const Service& service : services.all()) ids.push_back(service.id);
    CHECK(ids == std::vector<std::string>{"s", "s+held", "s+sat"});
    const Service& held = services.find("s+held");
    CHECK(held.base_id == "s");
    CHECK(held.label == "S, held");
    CHECK(held.has_option("held"));
    CHECK_FALSE(held.has_option("sat"));
    CHECK(held.held);
    CHECK(held.extra_usd == -2);
    CHECK_FALSE(services.find("s").held);
}

TEST_CASE("Options that exclude nothing can be bought together") {
    ordered_json file = sound_file();
    file["services"][0]["options"][0].erase("not_with");
    file["services"][0]["options"][0]["collection"]["Sat"] = {"09:00", "13:00"};
    const Service both = read(file).find("s+held+sat");
    CHECK(both.options == std::vector<std::string>{"held", "sat"});
    CHECK(both.label == "S, held, Sat");
    CHECK(both.extra_usd == 14);
}

TEST_CASE("An option that excludes another does so whichever of the two says it") {
    ordered_json file = sound_file();
    file["services"][0]["options"][0].erase("not_with");
    file["services"][0]["options"][1]["not_with"] = {"held"};
    CHECK(read(file).all().size() == 3);
}

TEST_CASE("An option replaces the legs from one on and keeps those before") {
    const Services services = read(sound_file());
    const Service& held = services.find("s+held");
    std::vector<std::string> names;
    for (const LegPlan& leg : held.legs) names.push_back(leg.name);
    CHECK(names == std::vector<std::string>{"counter", "way to hub", "way on", "station", "shelf"});
    CHECK(services.find("s").legs.size() == 6);
}

TEST_CASE("Late parcels that would wait after a leg that is replaced wait where the others do") {
    const Services services = read(sound_file());
    CHECK(services.find("s").waits.size() == 2);
    const Service& held = services.find("s+held");
    REQUIRE(held.waits.size() == 1);
    CHECK(held.waits[0].name == "wait after way to hub");
    CHECK(held.waits[0].share == Approx(1).margin(1e-12));
}

TEST_CASE("The days of a collection are days of delivery and no others") {
    ordered_json file = sound_file();
    file["services"][0]["options"][0]["collection"] = {
        {"Tue", {"08:00", "18:00"}}, {"Thu", {"08:00", "12:00"}}, {"Sun", {"08:00", "12:00"}}};
    const Services services = read(file);
    const Service& held = services.find("s+held");
    CHECK(held.delivers == WeekdaySet{false, false, true, false, true, false, false});
    REQUIRE(held.collection);
    CHECK(held.collection->by_weekday[4]->closes == minutes{12 * 60});
}

TEST_CASE("A counter that closes before the promise is refused with the day") {
    CHECK_THAT(complaint("/services/0/options/0/collection",
                         {{"Mon", {"08:00", "18:00"}}, {"Wed", {"08:00", "10:30"}}}),
               Catch::Contains("/services/0/promised_by: as 's+held': is not before the counter closes on "
                               "Wed; expected time to collect"));
    CHECK(complaint("/services/0/options/0/collection", {{"Wed", {"08:00", "10:31"}}}).empty());
}

TEST_CASE("A collection needs an opening before its closing") {
    for (const ordered_json& span : {ordered_json{"08:00"}, ordered_json{"18:00", "08:00"},
                                     ordered_json{"08:00", "08:00"}, ordered_json{"8am", "18:00"}}) {
        CHECK_THAT(complaint("/services/0/options/0/collection/Mon-Fri", span),
                   Catch::Contains("/services/0/options/0/collection/Mon-Fri: expected when it opens and "
                                   "closes, such as [\"09:00\", \"18:00\"]"));
    }
    CHECK_THAT(complaint("/services/0/options/0/collection/Sonnabend", {"08:00", "18:00"}),
               Catch::Contains("/collection/Sonnabend: is not a key mildway knows here"));
}

TEST_CASE("A service that can be collected on none of its days of delivery is refused") {
    CHECK_THAT(complaint("/services/0/options/0/collection", {{"Sun", {"08:00", "18:00"}}}),
               Catch::Contains("/services/0/delivers: as 's+held': leaves no weekday on which it delivers"));
}

TEST_CASE("An option that replaces an unknown leg is answered with the nearest") {
    CHECK_THAT(complaint("/services/0/options/0/instead_of_legs_from", "vna"),
               Catch::Contains("/services/0/options/0/instead_of_legs_from: no leg is called 'vna'; did you "
                               "mean 'van'?"));
}

TEST_CASE("An option for its days alone must say which") {
    CHECK_THAT(complaint_without("/services/0/options/1", "delivers_also_on"),
               Catch::Contains("/services/0/options/1/only_then: is set, but 'delivers_also_on' is not; "
                               "expected the days that are meant"));
}

TEST_CASE("Two options that replace the same leg must exclude each other") {
    ordered_json file = sound_file();
    auto& options = file["services"][0]["options"];
    options[0].erase("not_with");
    options[1] = options[0];
    options[1]["id"] = "other";
    CHECK_THAT(
        complaint_about(file),
        Catch::Contains("/services/0/options: 'other' replaces the leg 'van', which another option has "
                        "replaced already; expected 'not_with'"));
    options[1]["not_with"] = {"held"};
    CHECK(read(file).all().size() == 3);
}

TEST_CASE("Options have ids of their own and exclude only what there is") {
    CHECK_THAT(complaint("/services/0/options/1/id", "held"),
               Catch::Contains("/services/0/options: hold 'held' a second time; expected each id once"));
    CHECK_THAT(complaint("/services/0/options/0/not_with", {"saturday"}),
               Catch::Contains("/services/0/options/0/not_with: no option is called 'saturday'"));
    ordered_json file = sound_file();
    auto& options = file["services"][0]["options"];
    for (int i = 0; i < 3; ++i) {
        options.push_back(options[1]);
        options.back()["id"] = "sat" + std::to_string(i);
    }
    CHECK_THAT(complaint_about(file), Catch::Contains("/services/0/options: are more than 4"));
}

TEST_CASE("Legs of an option must join the legs that stay") {
    ordered_json file = sound_file();
    file["services"][0]["options"][0]["legs"][0]["place"] = "hub";
    CHECK_THAT(complaint_about(file),
               Catch::Contains("/services/0/options: hold a leg 'shelf' that begins at the hub, but the "
                               "parcel is at the destination by then"));
}

TEST_CASE("An option that leaves a late parcel nowhere to wait is refused") {
    ordered_json file = sound_file();
    file["services"][0]["late"]["waits"] = {{{"after", "van"}}};
    CHECK_THAT(complaint_about(file), Catch::Contains("/services/0/late: as 's+held': leaves a late parcel "
                                                      "nowhere to wait"));
}

TEST_CASE("An option that leaves nothing but waits without a share is refused") {
    ordered_json file = sound_file();
    auto& waits = file["services"][0]["late"]["waits"];
    waits[0]["share"] = 0;
    waits[1]["share"] = 1;
    CHECK_THAT(complaint_about(file), Catch::Contains("/services/0/late: as 's+held': leaves a late parcel "
                                                      "nowhere to wait"));
}

TEST_CASE("A wait does not pass to the leg of the buyer of an option though it has the same name") {
    ordered_json file = sound_file();
    file["services"][0]["options"][0]["legs"][0]["name"] = "van";
    const Services services = read(file);
    const Service& held = services.find("s+held");
    for (const Wait& wait : held.waits) CHECK(wait.leg + 1 < held.legs.size());
}

TEST_CASE("Options whose days leave nothing to deliver on cannot be bought together") {
    ordered_json file = sound_file();
    file["services"][0]["options"][0].erase("not_with");  // held from Monday to Friday, for Saturdays alone
    CHECK_THAT(complaint_about(file),
               Catch::Contains("/services/0/delivers: as 's+held+sat': holds none of the days that it is "
                               "bought for; is the counter closed on them?"));
    file["services"][0]["options"][0]["collection"]["Sat"] = {"09:00", "13:00"};
    CHECK(complaint_about(file).empty());
}

TEST_CASE("A promise before the counter opens is refused") {
    CHECK_THAT(complaint("/services/0/options/0/collection", {{"Mon-Fri", {"10:31", "18:00"}}}),
               Catch::Contains("promised_by: as 's+held': is before the counter opens on Mon"));
}

TEST_CASE("A parcel that is held needs legs that end at the counter") {
    ordered_json file = sound_file();
    file["services"][0]["options"][0].erase("instead_of_legs_from");
    file["services"][0]["options"][0].erase("legs");
    CHECK_THAT(complaint_about(file),
               Catch::Contains("/services/0/options/0/collection: is for a parcel that is held; "
                               "expected 'instead_of_legs_from'"));
}

TEST_CASE("An option excludes others and not itself") {
    CHECK_THAT(complaint("/services/0/options/0/not_with", {"held"}),
               Catch::Contains("/services/0/options/0/not_with: names the option itself"));
}

TEST_CASE("The sign that joins ids of options is in none of them") {
    CHECK_THAT(complaint("/services/0/options/1/id", "sat+sun"),
               Catch::Contains("/services/0/options/1/id: is 'sat+sun'; '+' joins the ids of options"));
}
