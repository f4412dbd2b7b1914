// Zones and prices of services.json, with one fault at a time: the complaint names the field and what was
// expected.
#include "mildway/transit/price.hpp"

#include "catch.hpp"

#include <nlohmann/json.hpp>

using namespace mildway;
using namespace mildway::transit;
using Catch::Contains;
using nlohmann::ordered_json;

namespace {

const ordered_json kNothing = nullptr;  // in `spoilt`: the key is taken away

ordered_json sound_carrier() {
    return ordered_json::parse(R"({"zones": [
        {"zone": "near", "up_to_km": 400},
        {"zone": "far", "up_to_km": 6000},
        {"zone": "islands", "within": [{"latitude_deg": [18.5, 22.5], "longitude_deg": [-161, -154.5]}]}]})");
}

ordered_json sound_table() {
    return ordered_json::parse(R"({
        "dimensional_divisor_cm3_per_kg": 5000, "mass_up_to_kg": [0.5, 1, 2, 5],
        "usd_by_zone": {"near": [20, 22, 26, 38], "far": [30, 33, 40, 60]},
        "not_sold_to": ["islands"], "per_kg_above_usd": 4})");
}

ordered_json sound_flat() {
    return ordered_json::parse(R"({"base_usd": 38, "per_kg_usd": 4.4, "dimensional_kg_per_m3": 200})");
}

/// With the value at `pointer` replaced or added, or taken away.
ordered_json spoilt(ordered_json json, const std::string& pointer, const ordered_json& value) {
    const ordered_json::json_pointer at(pointer);
    if (value.is_null()) {
        json[at.parent_pointer()].erase(at.back());
    } else {
        json[at] = value;
    }
    return json;
}

Zones read_zones(const ordered_json& carrier) {
    const auto node = ConfigNode::parse("services.json", carrier.dump());
    Zones zones = Zones::read(node);
    node.finish();
    return zones;
}

Price read(const ordered_json& price, const ordered_json& carrier = sound_carrier()) {
    const ordered_json file{{"price", price}};
    return read_price(ConfigNode::parse("services.json", file.dump()).object("price"), read_zones(carrier));
}

template <typename Read>
std::string complaint_of(const Read& read_it) {
    try {
        read_it();
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

std::string zones_complaint(const std::string& pointer, const ordered_json& value) {
    return complaint_of([&] { (void)read_zones(spoilt(sound_carrier(), pointer, value)); });
}

std::string table_complaint(const std::string& pointer, const ordered_json& value) {
    return complaint_of([&] { (void)read(spoilt(sound_table(), pointer, value)); });
}

std::string flat_complaint(const std::string& pointer, const ordered_json& value) {
    return complaint_of([&] { (void)read(spoilt(sound_flat(), pointer, value)); });
}

}  // namespace

TEST_CASE("Zones are read as they are written") {
    const Zones zones = read_zones(sound_carrier());
    REQUIRE(zones.all().size() == 3);
    CHECK(zones.all()[0].name == "near");
    CHECK(zones.all()[0].up_to_km == 400);
    CHECK(zones.all()[0].within.empty());
    CHECK_FALSE(zones.all()[2].up_to_km);
    REQUIRE(zones.all()[2].within.size() == 1);
    const Zone::Rectangle& islands = zones.all()[2].within[0];
    CHECK(islands.latitude_from_deg == 18.5);
    CHECK(islands.latitude_to_deg == 22.5);
    CHECK(islands.longitude_from_deg == -161);
    CHECK(islands.longitude_to_deg == -154.5);
}

TEST_CASE("A carrier may have no zones") {
    CHECK(read_zones(ordered_json::object()).empty());
}

TEST_CASE("A zone listed twice is refused") {
    CHECK(zones_complaint("/zones/1/zone", "near") ==
          "services.json:1: /zones/1/zone: is 'near' a second time; expected each zone once");
}

TEST_CASE("A zone without a name is refused") {
    CHECK_THAT(zones_complaint("/zones/0/zone", ""), Contains("/zones/0/zone: is empty"));
    CHECK_THAT(zones_complaint("/zones/0/zone", 2), Contains("/zones/0/zone: is 2; expected text in quotes"));
    CHECK_THAT(zones_complaint("/zones/0/zone", kNothing), Contains("/zones/0/zone: is missing"));
}

TEST_CASE("A zone goes either by distance or by rectangles") {
    const char* expected = "expected either 'up_to_km' or 'within', and not both";
    CHECK_THAT(zones_complaint("/zones/2/up_to_km", 9000), Contains(std::string("/zones/2: ") + expected));
    CHECK_THAT(zones_complaint("/zones/0/up_to_km", kNothing),
               Contains(std::string("/zones/0: ") + expected));
}

TEST_CASE("A misspelt key of a zone is answered with the nearest") {
    ordered_json carrier = sound_carrier();
    carrier["zones"][0] = {{"zone", "near"}, {"upto_km", 400}};
    CHECK_THAT(complaint_of([&] { (void)read_zones(carrier); }),
               Contains("/zones/0/upto_km: is not a key mildway knows here; did you mean 'up_to_km'?"));
}

TEST_CASE("Distances that do not rise in the order of the file are refused") {
    const char* expected =
        "/zones/1/up_to_km: is 400, but zone 'near' before it reaches 400 km; expected distances that rise";
    CHECK_THAT(zones_complaint("/zones/1/up_to_km", 400), Contains(expected));
    CHECK_THAT(zones_complaint("/zones/1/up_to_km", 300), Contains("/zones/1/up_to_km: is 300"));
    CHECK(zones_complaint("/zones/1/up_to_km", 401).empty());
}

TEST_CASE("Distances that fall across a zone of rectangles are refused too") {
    ordered_json carrier = sound_carrier();
    carrier["zones"].push_back({{"zone", "late"}, {"up_to_km", 5000}});
    CHECK_THAT(complaint_of([&] { (void)read_zones(carrier); }),
               Contains("/zones/3/up_to_km: is 5000, but zone 'far' before it reaches 6000 km"));
}

TEST_CASE("A distance that cannot be is refused") {
    CHECK_THAT(zones_complaint("/zones/0/up_to_km", 0), Contains("expected a number from 1 to 20100"));
    CHECK_THAT(zones_complaint("/zones/1/up_to_km", 30000), Contains("expected a number from 1 to 20100"));
    CHECK_THAT(zones_complaint("/zones/0/up_to_km", "400"), Contains("/zones/0/up_to_km: is \"400\""));
}

TEST_CASE("A rectangle that is none is refused") {
    const char* latitude =
        "/zones/2/within/0/latitude_deg: is no such range; expected [south, north], "
        "rising, from -90 to 90";
    for (const ordered_json& range :
         {ordered_json{22.5, 18.5}, ordered_json{20, 20}, ordered_json{-91, 20}, ordered_json{20, 91},
          ordered_json::array({20}), ordered_json{18, 20, 22}}) {
        INFO(range.dump());
        CHECK_THAT(zones_complaint("/zones/2/within/0/latitude_deg", range), Contains(latitude));
    }
    CHECK_THAT(zones_complaint("/zones/2/within/0/latitude_deg", {"18", "22"}),
               Contains("latitude_deg: holds \"18\"; expected only numbers"));
    CHECK_THAT(zones_complaint("/zones/2/within/0/latitude_deg", kNothing),
               Contains("latitude_deg: is missing; expected a list of numbers"));
    CHECK_THAT(zones_complaint("/zones/2/within/0/longitude_deg", kNothing),
               Contains("longitude_deg: is missing; expected a list of numbers"));
    CHECK_THAT(zones_complaint("/zones/2/within/0/longitude", {1, 2}),
               Contains("/zones/2/within/0/longitude: is not a key mildway knows here"));
    CHECK_THAT(zones_complaint("/zones/2/within", ordered_json::array()),
               Contains("/zones/2/within: is empty; expected at least one rectangle"));
}

TEST_CASE("A rectangle across the 180th meridian is to be written as two") {
    CHECK_THAT(zones_complaint("/zones/2/within/0/longitude_deg", {170, -170}),
               Contains("longitude_deg: is no such range; expected [west, east] (across the 180th meridian "
                        "write two rectangles), rising, from -180 to 180"));
    CHECK_THAT(zones_complaint("/zones/2/within/0/longitude_deg", {170, 190}),
               Contains("write two rectangles"));
}

TEST_CASE("A flat price is read as it is written") {
    const Price price = read(sound_flat());
    CHECK(price.base_usd == 38);
    CHECK(price.per_kg_usd == 4.4);
    CHECK(price.dimensional_kg_per_m3 == 200);
    CHECK(price.usd_by_zone.empty());
}

TEST_CASE("A base price alone will do with or without zones") {
    const Price price = read({{"base_usd", 30}}, ordered_json::object());
    CHECK(price.base_usd == 30);
    CHECK(price.per_kg_usd == 0);
    CHECK(price.dimensional_kg_per_m3 == 0);
}

TEST_CASE("A price by zone is read as it is written in the order of the carrier's zones") {
    ordered_json table = sound_table();
    table["usd_by_zone"] = {{"far", {30, 33, 40, 60}}, {"near", {20, 22, 26, 38}}};
    const Price price = read(table);
    CHECK(price.mass_up_to_kg == std::vector<double>{0.5, 1, 2, 5});
    CHECK(price.usd_by_zone == std::vector<std::vector<double>>{{20, 22, 26, 38}, {30, 33, 40, 60}, {}});
    CHECK(price.per_kg_above_usd == 4);
    CHECK(price.dimensional_kg_per_m3 == Approx(200).margin(1e-12));
}

TEST_CASE("Without a price beyond the last step there is none") {
    CHECK_FALSE(read(spoilt(sound_table(), "/per_kg_above_usd", kNothing)).per_kg_above_usd);
}

TEST_CASE("A price of both forms is refused") {
    const char* expected =
        "expected either a flat price ('base_usd' with 'per_kg_usd') or a table ('mass_up_to_kg' with "
        "'usd_by_zone'), and not both";
    CHECK_THAT(table_complaint("/base_usd", 38),
               Contains(std::string("/price/mass_up_to_kg: stands beside 'base_usd'; ") + expected));
    CHECK_THAT(flat_complaint("/per_kg_above_usd", 4),
               Contains(std::string("/price/per_kg_above_usd: stands beside 'base_usd'; ") + expected));
    CHECK_THAT(flat_complaint("/not_sold_to", {"islands"}),
               Contains("/price/not_sold_to: stands beside 'base_usd'"));
}

TEST_CASE("A price of neither form is refused") {
    CHECK_THAT(complaint_of([] {
                   (void)read({{"dimensional_kg_per_m3", 200}});
               }),
               Contains("/price: expected either a flat price"));
    CHECK_THAT(complaint_of([] {
                   (void)read({{"base_us", 200}});
               }),
               Contains("/price/base_us: is not a key mildway knows here; did you mean 'base_usd'?"));
}

TEST_CASE("Half of a form is refused") {
    CHECK_THAT(flat_complaint("/base_usd", kNothing), Contains("/price/base_usd: is missing"));
    CHECK_THAT(table_complaint("/mass_up_to_kg", kNothing), Contains("/price/mass_up_to_kg: is missing"));
    CHECK_THAT(table_complaint("/usd_by_zone", kNothing), Contains("/price/usd_by_zone: is missing"));
}

TEST_CASE("An unknown key of a price is refused") {
    CHECK_THAT(flat_complaint("/minimum_usd", 5), Contains("/price/minimum_usd: is not a key"));
    CHECK_THAT(table_complaint("/minimum_usd", 5), Contains("/price/minimum_usd: is not a key"));
}

TEST_CASE("Prices out of bounds are refused") {
    CHECK_THAT(flat_complaint("/base_usd", -1),
               Contains("/price/base_usd: is -1; expected a number from 0 to 10000"));
    CHECK_THAT(flat_complaint("/per_kg_usd", -1), Contains("/price/per_kg_usd: is -1"));
    CHECK_THAT(table_complaint("/per_kg_above_usd", -1), Contains("/price/per_kg_above_usd: is -1"));
    CHECK_THAT(table_complaint("/usd_by_zone/far/2", -0.01),
               Contains("/price/usd_by_zone/far: holds -0.01; expected prices from 0 to 10000"));
    CHECK_THAT(table_complaint("/usd_by_zone/far/2", 10001), Contains("expected prices from 0 to 10000"));
}

TEST_CASE("Something else than a price in a row is refused") {
    CHECK_THAT(table_complaint("/usd_by_zone/far/2", "n/a"),
               Contains("/price/usd_by_zone/far: holds \"n/a\"; expected only numbers"));
    ordered_json table = sound_table();
    table["usd_by_zone"]["far"][2] = nullptr;
    CHECK_THAT(complaint_of([&] { (void)read(table); }),
               Contains("/price/usd_by_zone/far: holds null; expected only numbers"));
    CHECK_THAT(table_complaint("/usd_by_zone/far", 30), Contains("/price/usd_by_zone/far: expected a list"));
    CHECK_THAT(table_complaint("/usd_by_zone", {30, 33}), Contains("/price/usd_by_zone: expected an object"));
}

TEST_CASE("The divisor and the density say the same so only one of them may stand") {
    CHECK_THAT(table_complaint("/dimensional_kg_per_m3", 200),
               Contains("/price/dimensional_kg_per_m3: stands beside 'dimensional_divisor_cm3_per_kg'"));
}

TEST_CASE("A divisor that cannot be in cubic centimetres for each kg is refused") {
    CHECK_THAT(table_complaint("/dimensional_divisor_cm3_per_kg", 139),  // cubic inches for each pound
               Contains("is 139; expected a number from 1000 to 100000"));
    CHECK_THAT(table_complaint("/dimensional_divisor_cm3_per_kg", 0),
               Contains("expected a number from 1000"));
    CHECK_THAT(flat_complaint("/dimensional_kg_per_m3", -1), Contains("expected a number from 0 to 1000"));
}

TEST_CASE("Steps that do not rise from above zero are refused") {
    CHECK_THAT(table_complaint("/mass_up_to_kg", {0.5, 2, 1, 5}),
               Contains("/price/mass_up_to_kg: holds 1 after 2; expected masses that rise from above 0 to at "
                        "most 1000"));
    CHECK_THAT(table_complaint("/mass_up_to_kg", {0.5, 1, 1, 5}), Contains("holds 1 after 1"));
    CHECK_THAT(table_complaint("/mass_up_to_kg", {0, 1, 2, 5}), Contains("holds 0 after 0"));
    CHECK_THAT(table_complaint("/mass_up_to_kg", {1, 2, 5, 1001}), Contains("holds 1001 after 5"));
    CHECK_THAT(table_complaint("/mass_up_to_kg", ordered_json::array()),
               Contains("/price/mass_up_to_kg: is empty"));
    CHECK_THAT(table_complaint("/mass_up_to_kg", 5), Contains("/price/mass_up_to_kg: expected a list"));
}

TEST_CASE("A row too short or too long is refused as a table with holes") {
    CHECK_THAT(table_complaint("/usd_by_zone/near", {20, 22, 26}),
               Contains("/price/usd_by_zone/near: holds 3 prices; expected 4, one for each step of "
                        "'mass_up_to_kg' (a price table with holes"));
    CHECK_THAT(table_complaint("/usd_by_zone/near", {20, 22, 26, 38, 50}),
               Contains("holds 5 prices; expected 4"));
    CHECK_THAT(table_complaint("/usd_by_zone/near", ordered_json::array()),
               Contains("holds 0 prices; expected 4"));
}

TEST_CASE("A zone without prices is refused as a table with holes") {
    CHECK_THAT(
        table_complaint("/usd_by_zone/far", kNothing),
        Contains("/price/usd_by_zone: has no prices for zone 'far'; expected a row for it, or its name "
                 "in 'not_sold_to' (a price table with holes"));
    CHECK_THAT(table_complaint("/not_sold_to", kNothing), Contains("has no prices for zone 'islands'"));
}

TEST_CASE("A zone both priced and not sold to is refused") {
    CHECK_THAT(table_complaint("/not_sold_to", {"far", "islands"}),
               Contains("/price/usd_by_zone/far: has prices but stands in 'not_sold_to'"));
}

TEST_CASE("A zone unknown to the carrier is refused with the nearest") {
    ordered_json table = sound_table();
    table["usd_by_zone"] = {{"neer", {20, 22, 26, 38}}, {"far", {30, 33, 40, 60}}};
    CHECK_THAT(complaint_of([&] { (void)read(table); }),
               Contains("/price/usd_by_zone/neer: is not a key mildway knows here; did you mean 'near'?"));
    CHECK_THAT(table_complaint("/not_sold_to", {"island"}),
               Contains("/price/not_sold_to: no zone is called 'island'; did you mean 'islands'? (known: "
                        "near, far, islands)"));
}

TEST_CASE("A zone named twice as not sold to is refused") {
    CHECK_THAT(table_complaint("/not_sold_to", {"islands", "islands"}),
               Contains("/price/not_sold_to: holds 'islands' a second time; expected each zone once"));
}

TEST_CASE("A service that is sold nowhere is refused") {
    ordered_json table = sound_table();
    table["usd_by_zone"] = ordered_json::object();
    table["not_sold_to"] = {"near", "far", "islands"};
    CHECK_THAT(complaint_of([&] { (void)read(table); }),
               Contains("/price/usd_by_zone: is empty; expected at least one zone that the service is sold"));
}

TEST_CASE("A price by zone needs a carrier with zones") {
    CHECK_THAT(complaint_of([] { (void)read(sound_table(), ordered_json::object()); }),
               Contains("/price/usd_by_zone: has no zones to go by; expected a carrier with 'zones', or a "
                        "flat price"));
}
