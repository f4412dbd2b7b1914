// What changing one thing in the best option would mean: each change against a plan that was asked for it.
#include "catch.hpp"
#include "plan_world.hpp"
#include "temp_workspace.hpp"

#include <algorithm>

using namespace mildway;
using namespace mildway::planning;
using testing::Order;

namespace {

const Change* find_change(const Plan& plan, ChangeKind kind) {
    const auto found = std::find_if(plan.changes.begin(), plan.changes.end(),
                                    [&](const Change& change) { return change.kind == kind; });
    return found == plan.changes.end() ? nullptr : &*found;
}

const Change& the_change(const Plan& plan, ChangeKind kind) {
    const Change* change = find_change(plan, kind);
    if (change == nullptr) throw std::runtime_error("no change of that kind");
    return *change;
}

void check_same(const Option& a, const Option& b) {
    const odds::Figures& x = a.assessment.all.value();
    const odds::Figures& y = b.assessment.all.value();
    CHECK(x.hours_outside.value == y.hours_outside.value);
    CHECK(x.hours_outside.error == y.hours_outside.error);
    CHECK(x.chance_harm.value == y.chance_harm.value);
    CHECK(x.coldest_c.p5 == y.coldest_c.p5);
    CHECK(x.warmest_c.p95 == y.warmest_c.p95);
    CHECK(a.assessment.in_box_h.p95 == b.assessment.in_box_h.p95);
    CHECK(a.assessment.late.one_day == b.assessment.late.one_day);
    CHECK(a.verdict == b.verdict);
    CHECK(a.cost.total_usd() == b.cost.total_usd());
}

/// One service, one packing, one day.
Plan narrow_plan(const char* packing = "small-38", const char* service = "night-air") {
    return testing::plan_for({.services = {service}, .packings = {packing}, .days = 1});
}

/// A workspace with `packing` a second time under the id "twin", with another count of warmers.
struct WithTwin {
    WithTwin(const char* packing, int warmers) {
        folder.edit_json("packings.json", [&](nlohmann::ordered_json& json) {
            for (const auto& one : json["packings"]) {
                if (one["id"] != packing) continue;
                auto twin = one;
                twin["id"] = "twin";
                if (warmers > 0)
                    twin["warmers"][0]["count"] = warmers;
                else
                    twin.erase("warmers");
                json["packings"].push_back(twin);
                break;
            }
        });
        workspace = Workspace::load(folder.path());
    }
    [[nodiscard]] Plan plan(const std::vector<std::string>& packings) const {
        return make_plan(
            workspace, testing::demo_weather(),
            testing::request_for({.services = {"night-air"}, .packings = packings, .days = 1}, workspace));
    }
    testing::TempWorkspace folder;
    Workspace workspace;
};

}  // namespace

TEST_CASE("a plan of one service still learns what holding at the counter would mean") {
    const Plan narrow = narrow_plan();
    const Change& hold = the_change(narrow, ChangeKind::hold);
    CHECK(hold.option.service->id == "night-air+held");
    CHECK(hold.option.packing->id == "small-38");
    CHECK(hold.option.rank == 0);
    const Plan asked =
        testing::plan_for({.services = {"night-air", "night-air+held"}, .packings = {"small-38"}, .days = 1});
    check_same(hold.option, testing::find_option(asked, "2027-03-01 night-air+held small-38"));
}

TEST_CASE("a plan of a held service learns what leaving at the door would mean") {
    const Plan narrow = narrow_plan("small-38", "night-air+held");
    const Change& door = the_change(narrow, ChangeKind::hold);
    CHECK(door.option.service->id == "night-air");
}

TEST_CASE("a plan of one service learns of the best other one") {
    const Plan narrow = narrow_plan();
    const Change& other = the_change(narrow, ChangeKind::service);
    CHECK(other.option.service->id == "two-day");  // road does not go that far, Saturday is for Fridays
    const Plan asked =
        testing::plan_for({.services = {"night-air", "two-day"}, .packings = {"small-38"}, .days = 1});
    check_same(other.option, testing::find_option(asked, "2027-03-01 two-day small-38"));
}

TEST_CASE("a plan of one packing learns of the best other one") {
    const Plan narrow = narrow_plan("small-19");
    const Change& other = the_change(narrow, ChangeKind::packing);
    const Plan asked = testing::plan_for({.services = {"night-air"}, .days = 1});
    for (const Option& option : asked.options) {
        if (option.packing->id == "small-19") continue;
        CHECK(testing::key_of(other.option) == testing::key_of(option));  // the first that is another
        check_same(other.option, option);
        break;
    }
    CHECK(other.recipe == nullptr);
}

TEST_CASE("another day is the best of the days asked about and one day knows of none") {
    const Plan one_day = narrow_plan();
    CHECK(find_change(one_day, ChangeKind::day) == nullptr);
    const Plan plan = testing::plan_for({.services = {"night-air"}, .packings = {"small-38"}, .days = 4});
    const Change& day = the_change(plan, ChangeKind::day);
    CHECK(testing::key_of(day.option) == testing::key_of(plan.options.at(1)));
    check_same(day.option, plan.options[1]);
}

TEST_CASE("one warmer more has the figures and the cost of the same recipe in packings.json") {
    const WithTwin with("small-38-1w", 2);
    const Plan asked = with.plan({"twin"});
    const Plan narrow = with.plan({"small-38-1w"});
    const Change& more = the_change(narrow, ChangeKind::one_warmer_more);
    REQUIRE(more.recipe != nullptr);
    CHECK(more.option.packing == more.recipe.get());
    CHECK(more.recipe->warmer_count() == 2);
    check_same(more.option, asked.options.front());
    CHECK(more.option.cost.materials_usd ==
          Approx(narrow.options.front().cost.materials_usd + 1.1).margin(1e-9));
}

TEST_CASE("one warmer less has the figures and the cost of the same recipe in packings.json") {
    const WithTwin with("small-38-2w", 1);
    const Plan asked = with.plan({"twin"});
    const Plan narrow = with.plan({"small-38-2w"});
    const Change& less = the_change(narrow, ChangeKind::one_warmer_less);
    CHECK(less.recipe->warmer_count() == 1);
    check_same(less.option, asked.options.front());
}

TEST_CASE("without its only warmer a recipe is one without warmers") {
    const WithTwin with("small-38-1w", 0);
    const Plan narrow = with.plan({"small-38-1w"});
    const Change& less = the_change(narrow, ChangeKind::one_warmer_less);
    CHECK(less.recipe->warmers.empty());
    check_same(less.option, with.plan({"twin"}).options.front());
}

TEST_CASE("a recipe without warmers learns of the better one of those that the workspace uses") {
    const Plan narrow = narrow_plan("small-38");
    const Change& more = the_change(narrow, ChangeKind::one_warmer_more);
    REQUIRE(more.recipe->warmers.size() == 1);
    CHECK(more.recipe->warmers[0].opened_before_packing_h == Approx(0.75));
    CHECK(find_change(narrow, ChangeKind::one_warmer_less) == nullptr);
}

TEST_CASE("a recipe with as many warmers as a box may hold learns of none more") {
    const WithTwin with("small-38-2w", box::kMaxWarmers);
    const Plan full = with.plan({"twin"}), with_room = with.plan({"small-38-2w"});
    CHECK(find_change(full, ChangeKind::one_warmer_more) == nullptr);
    CHECK(find_change(with_room, ChangeKind::one_warmer_more) != nullptr);
}

TEST_CASE("a packing too small for the animals is no change") {
    const Plan plan =
        testing::plan_for({.count = 5, .services = {"night-air"}, .packings = {"medium-38-2w"}, .days = 1});
    CHECK(find_change(plan, ChangeKind::packing) == nullptr);
}

TEST_CASE("each kind of change stands once and changes one thing alone") {
    const Plan plan = testing::plan_for({.days = 5});
    const Option& best = plan.options.front();
    std::vector<ChangeKind> kinds;
    for (const Change& change : plan.changes) {
        const Option& option = change.option;
        const bool other_day = option.ship_date != best.ship_date;
        const bool other_service = option.service != best.service;
        const bool other_box = option.packing != best.packing;
        CAPTURE(change_name(change.kind));
        CHECK(other_day + other_service + other_box == 1);
        CHECK(other_day == (change.kind == ChangeKind::day));
        CHECK(other_service == (change.kind == ChangeKind::service || change.kind == ChangeKind::hold));
        CHECK(std::count(kinds.begin(), kinds.end(), change.kind) == 0);
        kinds.push_back(change.kind);
    }
    CHECK(kinds.size() >= 4);
}

TEST_CASE("a plan without figures has nothing to change") {
    PlanRequest request = testing::request_for({.scenarios = 16});
    request.now = *parse_instant("2027-03-01T22:13:00Z");  // stale
    CHECK(make_plan(testing::starter(), testing::demo_weather(), request).changes.empty());
}
