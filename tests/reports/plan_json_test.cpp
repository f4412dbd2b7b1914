#include "mildway/reports/plan_json.hpp"

#include "mildway/odds/late_together.hpp"

#include "catch.hpp"
#include "plan_world.hpp"

#include <cmath>
#include <set>

#include <nlohmann/json.hpp>

using namespace mildway;
using nlohmann::json;
using testing::Order;

namespace {

std::string json_text(const Order& order) {
    return reports::plan_json(testing::starter(), testing::plan_for(order));
}

json json_for(const Order& order) {
    return json::parse(json_text(order));
}

json stale_plan() {
    auto request = testing::request_for({.days = 2, .scenarios = 16});
    request.now = *parse_instant("2027-03-01T22:30:00Z");
    return json::parse(reports::plan_json(
        testing::starter(), planning::make_plan(testing::starter(), testing::demo_weather(), request)));
}

/// Pointers to every null below `node`; not-a-number would be printed as one.
void find_nulls(const json& node, const std::string& at, std::vector<std::string>& found) {
    if (node.is_null()) found.push_back(at);
    if (!node.is_structured()) return;
    for (const auto& [key, value] : node.items()) find_nulls(value, at + "/" + key, found);
}

std::set<std::string> keys_of(const json& node) {
    std::set<std::string> keys;
    for (const auto& [key, value] : node.items()) keys.insert(key);
    return keys;
}

void check_has(const json& node, const std::vector<std::string>& keys) {
    for (const auto& key : keys) {
        CAPTURE(key);
        CHECK(node.contains(key));
    }
}

}  // namespace

TEST_CASE("a plan's JSON names its document and version") {
    const json plan = json_for({.days = 1, .scenarios = 16});
    CHECK(plan.at("document") == "mildway plan");
    CHECK(plan.at("version") == reports::kPlanVersion);
}

TEST_CASE("a plan's JSON repeats what was asked") {
    const json plan = json_for(
        {.to = "Tampa FL", .species = "dart-frog", .count = 2, .days = 1, .scenarios = 20, .seed = 9});
    CHECK(plan.at("now") == "2027-03-01T13:00:00Z");
    CHECK(plan.at("seed") == 9);
    CHECK(plan.at("scenarios") == 128);
    CHECK(plan.at("origin") == "Las Cruces NM");
    CHECK(plan.at("destination") == "Tampa FL");
    CHECK(plan.at("species") == "dart-frog");
    CHECK(plan.at("count") == 2);
    CHECK(plan.at("mass_g").get<double>() == Approx(1.5));
    CHECK(plan.at("safe") == json{{"low_c", 16}, {"high_c", 27}});
    CHECK(plan.at("comfort") == json{{"low_c", 18}, {"high_c", 25}});
    CHECK(plan.at("harm") == json{{"low_c", 13}, {"high_c", 29}});
}

TEST_CASE("an option carries every figure of the assessment") {
    const json plan = json_for({.days = 1});
    for (const json& option : plan.at("options")) {
        check_has(option, {"rank",
                           "ship_date",
                           "service",
                           "service_options",
                           "carrier",
                           "packing",
                           "verdict",
                           "side",
                           "cost_usd",
                           "cost",
                           "packed",
                           "handed_over",
                           "cut_off",
                           "promised",
                           "chance_late_one_day",
                           "chance_late_more_days",
                           "late_given_other",
                           "wait_shares",
                           "if_late",
                           "figures",
                           "if_late_one_day",
                           "in_box_h",
                           "late_in_box_h",
                           "legs"});
        for (const char* part : {"figures", "if_late_one_day"}) {
            check_has(option.at(part),
                      {"outside_h", "outside_error_h", "outside_cold_h", "outside_warm_h", "outside_p90_h",
                       "outside_cold_k_h", "outside_warm_k_h", "chance_outside_30_minutes",
                       "chance_outside_30_minutes_error", "chance_harm", "chance_harm_error",
                       "chance_harm_cold", "coldest_c", "warmest_c"});
            for (const char* spread : {"coldest_c", "warmest_c"})
                CHECK(keys_of(option.at(part).at(spread)) == std::set<std::string>{"p5", "p50", "p95"});
        }
    }
}

TEST_CASE("an option's legs tell where and when and how much of the hours falls on them") {
    const json plan = json_for({.services = {"night-air"}, .packings = {"small-19"}, .days = 1});
    const json& legs = plan.at("options").at(0).at("legs");
    REQUIRE(legs.size() == 10);
    double outside_h = 0;
    for (std::size_t i = 0; i < legs.size(); ++i) {
        check_has(legs[i],
                  {"leg", "setting", "from", "to", "start", "end", "outside_cold_h", "outside_warm_h"});
        if (i > 0) CHECK(legs[i].at("start") == legs[i - 1].at("end"));
        outside_h += legs[i].at("outside_cold_h").get<double>() + legs[i].at("outside_warm_h").get<double>();
    }
    CHECK(outside_h ==
          Approx(plan.at("options").at(0).at("figures").at("outside_h").get<double>()).margin(1e-3));
    CHECK(legs.back().at("leg") == "doorstep");
    CHECK(legs.back().at("to") == "destination");
}

TEST_CASE("basis age and usability of every place's weather are told") {
    const json plan = json_for({.days = 1, .scenarios = 16});
    REQUIRE(plan.at("weather").size() == 4);
    for (const json& there : plan.at("weather")) {
        CHECK(there.at("basis") == "forecast");
        CHECK(there.at("issued") == "2027-03-01T10:12:00Z");
        CHECK(there.at("known_until") == "2027-03-09T00:00:00Z");
        CHECK(there.at("usable") == true);
        CHECK_FALSE(there.contains("doubt"));
        check_has(there, {"place", "source", "read_from", "findings"});
    }
}

TEST_CASE("a known option has no null and no figure out of range") {
    const json plan = json_for({.to = "Tampa FL", .species = "crested-gecko"});
    REQUIRE(plan.at("options").size() == 3 * 3 * testing::starter().packings.all().size());
    for (const json& option : plan.at("options")) {
        json known = option;
        if (option.contains("late_unknown_reason")) known.erase("if_late_one_day");
        std::vector<std::string> nulls;
        find_nulls(known, "", nulls);
        CHECK(nulls == std::vector<std::string>{"/expected_loss_usd"});  // no value was given
    }
}

TEST_CASE("an unknown option has no figures but a reason") {
    const json plan = stale_plan();
    for (const json& option : plan.at("options")) {
        CHECK(option.at("verdict") == "unknown");
        CHECK(option.at("figures").is_null());
        CHECK(option.at("if_late_one_day").is_null());
        CHECK_THAT(option.at("unknown_reason").get<std::string>(), Catch::Contains("stale"));
        for (const json& leg : option.at("legs")) CHECK_FALSE(leg.contains("outside_cold_h"));
    }
}

TEST_CASE("unusable weather is marked with the doubt") {
    const json plan = stale_plan();
    for (const json& there : plan.at("weather")) {
        CHECK(there.at("usable") == false);
        CHECK_THAT(there.at("doubt").get<std::string>(), Catch::Contains("stale"));
    }
}

TEST_CASE("closed days packings left out reasons papers and cautions are in the JSON") {
    const json plan = json_for(
        {.species = "hermanns-tortoise", .count = 5, .services = {"night-air"}, .days = 7, .scenarios = 16});
    REQUIRE(plan.at("closed").size() == 2);
    CHECK(plan.at("closed").at(0).at("ship_date") == "2027-03-06");
    CHECK(plan.at("closed").at(0).at("service") == "night-air");
    check_has(plan.at("closed").at(0), {"reason"});
    CHECK(plan.at("left_out").size() == 10);
    CHECK(plan.at("reasons").size() >= 1);
    CHECK(plan.at("papers").at(0).at("source") == "21 CFR 1240.62");
    CHECK(plan.at("papers").at(0).at("may_forbid") == true);
    CHECK(plan.at("cautions").size() >= 5);
}

TEST_CASE("JSON holds degrees Celsius in a Fahrenheit workspace too") {
    planning::Workspace workspace = testing::starter();
    workspace.scale = planning::TemperatureScale::fahrenheit;
    const auto request = testing::request_for({.days = 1, .scenarios = 16}, workspace);
    const json plan = json::parse(
        reports::plan_json(workspace, planning::make_plan(workspace, testing::demo_weather(), request)));
    CHECK(plan.at("safe").at("low_c") == 13);
    CHECK(plan.at("options").at(0).at("figures").at("coldest_c").at("p50").get<double>() < 40);
}

TEST_CASE("the air around the box is told beside the figures and never narrower than the animals feel") {
    const json plan = json_for({.packings = {"small-38"}, .days = 1, .scenarios = 128});
    for (const json& option : plan.at("options")) {
        const json& figures = option.at("figures");
        CHECK(option.at("around_coldest_c").at("p50") <= figures.at("coldest_c").at("p50"));
        CHECK(option.at("around_warmest_c").at("p50") >=
              figures.at("warmest_c").at("p50").get<double>() - 0.1);
    }
}

TEST_CASE("options stand in the order of their ranks") {
    const json plan = json_for({.scenarios = 64});
    int rank = 0;
    for (const json& option : plan.at("options")) CHECK(option.at("rank") == ++rank);
}

TEST_CASE("two runs give the same bytes") {
    CHECK(json_text({}) == json_text({}));
}

TEST_CASE("one two and three threads give the same bytes") {
    const std::string one = json_text({.threads = 1});
    CHECK(json_text({.threads = 2}) == one);
    CHECK(json_text({.threads = 3}) == one);
}

TEST_CASE("another seed gives other bytes") {
    CHECK(json_text({.seed = 1}) != json_text({.seed = 2}));
}

TEST_CASE("an option says whether figures of a logger are in it") {
    auto plan = testing::plan_for({.days = 1, .scenarios = 16});
    const auto learnt_of_first = [&] {
        return json::parse(reports::plan_json(testing::starter(), plan)).at("options").front().at("learnt");
    };
    CHECK(learnt_of_first() == false);
    box::Packing learnt = *plan.options.front().packing;
    learnt.learnt.warmer_factor = 0.8;
    plan.options.front().packing = &learnt;
    CHECK(learnt_of_first() == true);
}

TEST_CASE("the cost in JSON is whole and in parts") {
    const json plan = json_for({.services = {"night-air+held"}, .packings = {"small-38-1w"}, .days = 1});
    const json& option = plan.at("options").at(0);
    const json& cost = option.at("cost");
    CHECK(option.at("cost_usd") == cost.at("total_usd"));
    CHECK(cost.at("total_usd").get<double>() ==
          Approx(cost.at("materials_usd").get<double>() + cost.at("carriage_usd").get<double>() +
                 cost.at("extras_usd").get<double>()));
    CHECK(cost.at("extras_usd") == -2);  // the starter's price of holding
    CHECK(cost.at("billed_mass_kg").get<double>() > 1);
}

TEST_CASE("the expected loss in JSON is value times chance of harm or null") {
    auto request = testing::request_for({.days = 1});
    const auto first = [&] {
        return json::parse(reports::plan_json(
            testing::starter(), planning::make_plan(testing::starter(), testing::demo_weather(), request)));
    };
    CHECK(first().at("value_usd").is_null());
    CHECK(first().at("options").at(0).at("expected_loss_usd").is_null());
    request.value_usd = 200;
    request.rank_by = planning::RankBy::cost_and_loss;
    const json plan = first();
    CHECK(plan.at("value_usd") == 200);
    CHECK(plan.at("rank_by") == "cost-and-loss");
    for (const json& option : plan.at("options")) {
        CHECK(option.at("expected_loss_usd").get<double>() ==
              Approx(200 * option.at("figures").at("chance_harm").get<double>()));
    }
}

TEST_CASE("an option's JSON names carrier service options and where late parcels wait") {
    const json plan = json_for({.services = {"night-air+held"}, .packings = {"small-38-1w"}, .days = 1});
    const json& option = plan.at("options").at(0);
    CHECK(option.at("carrier") == "Northline Parcel");
    CHECK(option.at("service_options") == json{"held"});
    CHECK(keys_of(option.at("wait_shares")) == std::set<std::string>{"hub sort", "station"});
    double sum = 0;
    for (const auto& [leg, share] : option.at("wait_shares").items()) sum += share.get<double>();
    CHECK(sum == Approx(1));
    const transit::LateOdds odds{option.at("chance_late_one_day"), option.at("chance_late_more_days")};
    const double together = testing::starter().services.find("night-air+held").late_together;
    CHECK(option.at("late_given_other").get<double>() ==
          Approx(odds::chance_late_given_other(odds, odds, together)));
    CHECK(option.at("cut_off") == "2027-03-02T00:30:00Z");  // 17:30 in El Paso
}

TEST_CASE("what late would mean is in the JSON with days and warmers") {
    auto request =
        testing::request_for({.services = {"night-air"}, .packings = {"small-38-1w"}, .scenarios = 16});
    request.from = Date{date::year{2027} / 3 / 4};  // Thursday; late is Monday
    request.days = 1;
    const json plan = json::parse(reports::plan_json(
        testing::starter(), planning::make_plan(testing::starter(), testing::demo_weather(), request)));
    const json& late = plan.at("options").at(0).at("if_late");
    CHECK(late.at("delivery_date") == "2027-03-08");
    CHECK(late.at("days_later") == 3);
    CHECK(late.at("trapped") == true);
    CHECK(late.at("waits_in") == "hub sort");
    CHECK(late.at("warmers_low").at(0).at("label") == "40-hour warmer");
    CHECK(parse_instant(late.at("warmers_low").at(0).at("when").get<std::string>()));
}

TEST_CASE("hours in the box are in the JSON and longer when late") {
    const json plan = json_for({.services = {"night-air"}, .packings = {"small-38"}, .days = 1});
    const json& option = plan.at("options").at(0);
    CHECK(option.at("in_box_h").at("p5") <= option.at("in_box_h").at("p50"));
    CHECK(option.at("late_in_box_h").at("p50").get<double>() >
          option.at("in_box_h").at("p50").get<double>() + 20);
    CHECK_FALSE(stale_plan().at("options").at(0).contains("in_box_h"));
}

TEST_CASE("a leg on a part of the way has its shares in the JSON and no other leg has") {
    auto plan =
        testing::plan_for({.services = {"night-air"}, .packings = {"small-38"}, .days = 1, .scenarios = 16});
    auto& legs = plan.options.front().trip.legs;
    legs.at(4).stretch = {transit::Role::counter, transit::Role::destination, 0.25, 0.5};
    const json parsed = json::parse(reports::plan_json(testing::starter(), plan));
    const json& told = parsed.at("options").at(0).at("legs");
    CHECK(told.at(4).at("from_share") == 0.25);
    CHECK(told.at(4).at("to_share") == 0.5);
    for (std::size_t i = 0; i < told.size(); ++i) CHECK(told.at(i).contains("from_share") == (i == 4));
}

TEST_CASE("changes to the first option are in the JSON with their figures") {
    const json plan = json_for({.services = {"night-air"}, .packings = {"small-38-1w"}, .days = 2});
    std::set<std::string> kinds;
    for (const json& change : plan.at("changes")) {
        kinds.insert(change.at("kind"));
        check_has(change,
                  {"ship_date", "service", "packing", "outside_h", "verdict", "chance_harm", "cost_usd"});
    }
    CHECK(kinds ==
          std::set<std::string>{"day", "service", "hold", "one_warmer_more", "one_warmer_less", "packing"});
}

TEST_CASE("every day asked about is in the JSON with its best option or why it is closed") {
    const json plan =
        json_for({.services = {"night-air"}, .packings = {"small-38"}, .days = 7, .scenarios = 16});
    const json& days = plan.at("days");
    REQUIRE(days.size() == 7);
    for (std::size_t i = 0; i < days.size(); ++i) {
        const json& day = days.at(i);
        CAPTURE(day.dump());
        CHECK(day.at("date") == "2027-03-0" + std::to_string(i + 1));
        const bool open = i < 5;
        for (const char* key : {"rank", "verdict", "side", "outside_h"}) CHECK(day.at(key).is_null() != open);
        for (const char* key : {"closed", "closed_reason"}) CHECK(day.at(key).is_null() == open);
    }
    CHECK(days.at(5).at("closed") == "no parcels accepted");
    CHECK(days.at(5).at("closed_reason") == "Night accepts no parcels on Sat 6 Mar");
}

TEST_CASE("a day whose weather is not known has a verdict in the JSON and no side or hours") {
    const json plan = stale_plan();
    const json& day = plan.at("days").at(0);
    CHECK(day.at("verdict") == "unknown");
    CHECK(day.at("side").is_null());
    CHECK(day.at("outside_h").is_null());
    CHECK(day.at("closed").is_null());
}
