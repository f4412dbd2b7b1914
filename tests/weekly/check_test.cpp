// Planned orders under a morning's weather.
#include "mildway/weekly/check.hpp"

#include "catch.hpp"
#include "changed_services.hpp"
#include "plan_world.hpp"

#include <map>
#include <mutex>

using namespace mildway;
using namespace mildway::weekly;
namespace ship = mildway::testing;
using ship::demo_monday;
using ship::demo_now;
using ship::demo_weather;
using ship::starter;

namespace {

Date day_of_week(int days_after_monday) {
    return Date{date::sys_days(demo_monday()) + date::days(days_after_monday)};
}

/// With the times of its trip as the workspace's files lay it, where they do.
Planned laid(Planned planned, const planning::Workspace& workspace = starter()) {
    orders::Choice& choice = *planned.order.choice;
    const transit::Service* service = workspace.services.by_id(choice.service);
    if (service == nullptr) return planned;
    const transit::Route route(
        *service, workspace.settings,
        transit::lane_of(*service, {workspace.origin, workspace.counter}, planned.order.place),
        workspace.hand_over);
    const auto trip = route.lay(choice.ship_date, choice.chosen);
    if (const auto* found = std::get_if<transit::Trip>(&trip)) {
        choice.packed = found->packed;
        choice.handed_over = found->handed_over;
        choice.cut_off = found->cut_off;
        choice.promised = found->promised;
    }
    return planned;
}

/// A corn snake planned for Tuesday, comfortable to Albany by the demo's weather.
Planned planned_order(const std::string& number = "JB-1", const std::string& to = "Albany NY") {
    Planned planned;
    planned.order.number = number;
    planned.order.state = orders::State::planned;
    planned.order.place = *starter().find_place(to);
    planned.order.species = "corn-snake";
    planned.order.animals = {{}};
    orders::Choice choice;
    choice.version = 1;
    choice.ship_date = day_of_week(1);
    choice.service = "night-air+held";
    choice.packing = "small-19-1s";
    choice.verdict = Verdict::comfortable;
    choice.hours_outside = 0.1;
    planned.order.choice = choice;
    return laid(planned);
}

CheckRequest quick_request() {
    CheckRequest request;
    request.scenarios = 512;
    request.threads = 2;
    request.now = demo_now();
    request.days_ahead = 4;
    return request;
}

Checked check_one(const Planned& planned, const weather::ForecastSource& source = demo_weather()) {
    const Planned as_laid = laid(planned);
    return check_orders(starter(), {}, source, {&as_laid, 1}, quick_request()).orders.front();
}

/// The morning after, when nothing was changed since.
Planned after(Planned planned, const Checked& checked) {
    planned.before = checked.found;
    return planned;
}

/// The option that the order is planned with, as a plan of its own sees it.
planning::Option own_option(const Planned& planned, const weather::ForecastSource& source = demo_weather()) {
    const orders::Choice& choice = *planned.order.choice;
    auto request = ship::request_for({.to = planned.order.place.name,
                                      .services = {choice.service},
                                      .packings = {choice.packing},
                                      .days = 1,
                                      .scenarios = 512});
    request.from = choice.ship_date;
    return planning::make_plan(starter(), source, request).options.front();
}

/// The choice's figures are those of the weather as it is.
Planned as_it_is(Planned planned, const weather::ForecastSource& source = demo_weather()) {
    const planning::Option option = own_option(planned, source);
    planned.order.choice->verdict = option.verdict;
    planned.order.choice->hours_outside = option.assessment.all->hours_outside.value;
    planned.order.choice->chance_outside = option.assessment.all->chance_outside.value;
    planned.order.choice->chance_harm = option.assessment.all->chance_harm.value;
    return planned;
}

/// Counts how often each place is asked about.
class CountingSource : public weather::ForecastSource {
public:
    [[nodiscard]] std::string name() const override { return "the demo's weather"; }
    [[nodiscard]] weather::Outlook outlook(const Place& place) const override {
        {
            const std::lock_guard lock(counting_);
            ++asked_[place.name];
        }
        return demo_weather().outlook(place);
    }
    [[nodiscard]] const std::map<std::string, int>& asked() const { return asked_; }

private:
    mutable std::mutex counting_;
    mutable std::map<std::string, int> asked_;
};

}  // namespace

TEST_CASE("A planned order under the same weather has the figures of its own plan") {
    const Planned planned = planned_order();
    const planning::Option own = own_option(planned);
    const Checked checked = check_one(planned);
    REQUIRE(checked.found.hours_outside.has_value());
    CHECK(*checked.found.hours_outside == Approx(own.assessment.all->hours_outside.value)
                                              .margin(1e-6 + 4 * own.assessment.all->hours_outside.error));
    CHECK(checked.found.verdict == own.verdict);
    CHECK(checked.found.choice_version == 1);
}

TEST_CASE("An order whose weather did not change is neither flagged nor talked about") {
    Planned planned = as_it_is(planned_order());
    REQUIRE(planned.order.choice->verdict == Verdict::comfortable);
    const Checked checked = check_one(planned);
    CHECK_FALSE(checked.found.flagged);
    CHECK(checked.found.sentence.empty());
}

TEST_CASE("An order that a colder forecast makes risky is flagged with its side and leg") {
    const auto colder = ship::warmed(-25);
    const Planned planned = as_it_is(planned_order());
    const Checked checked = check_one(planned, colder);
    CHECK(checked.found.flagged);
    CHECK(checked.found.standing == Verdict::unsafe);
    CHECK(checked.found.side == Side::cold);
    CHECK_FALSE(checked.found.worst_leg.empty());
    CHECK_THAT(checked.found.sentence, Catch::Contains("unsafe (cold) now, comfortable before") &&
                                           Catch::Contains(checked.found.worst_leg));
}

TEST_CASE("A tight order that was chosen as tight is not flagged for it") {
    Planned planned = planned_order();
    planned.order.choice->ship_date = day_of_week(2);
    planned = as_it_is(planned);
    REQUIRE(planned.order.choice->verdict == Verdict::tight);
    const Checked checked = check_one(planned);
    REQUIRE(checked.found.standing == Verdict::tight);
    CHECK_FALSE(checked.found.flagged);
    planned.order.choice->verdict = Verdict::comfortable;
    CHECK(check_one(planned).found.flagged);
}

TEST_CASE("An order whose day is past and that was not handed over is flagged") {
    Planned planned = planned_order();
    planned.order.choice->ship_date = day_of_week(-1);
    const Checked checked = check_one(planned);
    CHECK(checked.found.flagged);
    CHECK_THAT(checked.found.sentence, Catch::Contains("is past and it was not handed over"));
}

TEST_CASE("An order whose packing or service is gone from the workspace is flagged by its name") {
    Planned planned = planned_order();
    planned.order.choice->packing = "old-box";
    CHECK_THAT(check_one(planned).found.sentence, Catch::Contains("packings.json has no 'old-box'"));
    planned = planned_order();
    planned.order.choice->service = "old-service";
    CHECK_THAT(check_one(planned).found.sentence, Catch::Contains("services.json has no 'old-service'"));
}

TEST_CASE("An order whose species or permitted service is gone is flagged and the others are checked") {
    Planned no_species = planned_order();
    no_species.order.species = "old-species";
    Planned no_service = planned_order();
    no_service.order.services.push_back("old-service");
    const std::vector<Planned> planned{no_species, no_service, planned_order()};
    const CheckResult result = check_orders(starter(), {}, demo_weather(), planned, quick_request());
    CHECK_THAT(result.orders.at(0).found.sentence, Catch::Contains("species.json has no 'old-species'"));
    CHECK_THAT(result.orders.at(1).found.sentence, Catch::Contains("services.json has no 'old-service'"));
    CHECK(result.orders.at(0).found.standing == Verdict::unknown);
    CHECK(result.orders.at(0).found.flagged);
    CHECK(result.orders.at(1).found.flagged);
    CHECK(result.orders.at(2).found.hours_outside.has_value());
}

TEST_CASE("An order on a day when the service is closed is flagged with the reason") {
    Planned planned = planned_order();
    planned.order.choice->ship_date = day_of_week(5);
    const Checked checked = check_one(planned);
    CHECK(checked.found.flagged);
    CHECK_FALSE(checked.found.trouble.empty());
}

TEST_CASE("An order without a forecast is unknown and flagged, never fine") {
    const ship::WithoutPlace source("Albany NY");
    const Checked checked = check_one(planned_order(), source);
    CHECK(checked.found.standing == Verdict::unknown);
    CHECK(checked.found.flagged);
    CHECK_FALSE(checked.found.hours_outside.has_value());
    CHECK_THAT(checked.found.sentence, Catch::Contains("no forecast for Albany NY"));
}

TEST_CASE("Another day that saves much is told with its figures") {
    // Tuesday and Wednesday are made bitter everywhere, Thursday is left mild
    const ship::ChangedWeather bitter([](const Place&, weather::Outlook& outlook) {
        const Instant from = date::sys_days(day_of_week(1));
        const Instant until = from + hours(60);
        for (auto& member : outlook.temp_c) {
            for (std::size_t i = 0; i < member.size(); ++i) {
                const Instant hour = outlook.first_hour + hours(static_cast<int>(i));
                if (hour >= from && hour < until) member[i] -= 25;
            }
        }
    });
    Planned planned = planned_order("JB-1", "Sacramento CA");
    planned.order.choice->packing = "small-19";
    const Checked checked = check_one(planned, bitter);
    REQUIRE(checked.found.better_day.has_value());
    REQUIRE(checked.better.has_value());
    CHECK(checked.found.flagged);
    CHECK(checked.found.better_by_hours >= 1.0);
    CHECK(*checked.found.better_day != planned.order.choice->ship_date);
    CHECK_THAT(checked.found.sentence, Catch::Contains("expected to save"));
}

TEST_CASE("Days on which the buyer is away are no better days") {
    const auto colder = ship::warmed(-25);
    Planned planned = planned_order("JB-1", "Sacramento CA");
    planned.order.choice->packing = "small-19";
    planned.order.buyer_away = {{day_of_week(0), day_of_week(30)}};
    const Checked checked = check_one(planned, colder);
    CHECK_FALSE(checked.found.better_day.has_value());
}

TEST_CASE("Days on which the breeder is away and verdicts worse than are planned with are no better days") {
    const auto colder = ship::warmed(-25);
    Planned planned = planned_order("JB-1", "Sacramento CA");
    planned.order.choice->packing = "small-19";
    Limits limits;
    limits.days_away = {{day_of_week(0), day_of_week(30)}};
    CHECK_FALSE(check_orders(starter(), limits, colder, {&planned, 1}, quick_request())
                    .orders.front()
                    .found.better_day.has_value());
    const Checked checked = check_one(planned, colder);
    if (checked.better) CHECK(checked.better->verdict <= Verdict::tight);
}

TEST_CASE("A better day that was told stays told on a morning without weather") {
    const ship::WithoutPlace source("Albany NY");
    Planned planned = planned_order();
    planned.before = orders::Reassessment{};
    planned.before->standing = Verdict::tight;
    planned.before->hours_outside = 2.0;
    planned.before->better_day = day_of_week(3);
    const Checked checked = check_one(planned, source);
    CHECK(checked.found.better_day == day_of_week(3));
    CHECK_THAT(checked.found.sentence, !Catch::Contains("no longer clearly better"));
}

TEST_CASE("A slow slide away from what was chosen is told once it is a step") {
    Planned planned = as_it_is(planned_order());
    const double now_h = *check_one(planned).found.hours_outside;
    planned.order.choice->hours_outside = now_h - 1.05;
    planned.before = orders::Reassessment{};
    planned.before->standing = planned.order.choice->verdict;
    planned.before->hours_outside = now_h - 0.1;
    const Checked told = check_one(planned);
    CHECK_THAT(told.found.sentence, Catch::Contains("so it was when it was chosen"));
    CHECK(told.found.told_hours == now_h);
    CHECK(check_one(after(planned, told)).found.sentence.empty());
}

TEST_CASE("Hours that swing round a step are told once") {
    Planned planned = as_it_is(planned_order());
    const double now_h = *check_one(planned).found.hours_outside;
    planned.before = orders::Reassessment{};
    planned.before->standing = planned.order.choice->verdict;
    // a step from what was chosen on one morning, less on the next; it was told on the first
    planned.order.choice->hours_outside = now_h - 1.01;
    planned.before->hours_outside = now_h - 0.02;
    planned.before->told_hours = now_h - 0.05;
    CHECK(check_one(planned).found.sentence.empty());
    planned.before->told_hours = now_h - 1.05;
    CHECK_THAT(check_one(planned).found.sentence, Catch::Contains("so it was when it was told last"));
}

TEST_CASE("A cut-off and a promise that were changed since are flagged with both times once") {
    const Planned planned = as_it_is(planned_order());
    const planning::Workspace changed = ship::with_services([](nlohmann::ordered_json& service) {
        if (service.at("id") != "night-air") return;
        service["cut_off"] = "16:00";
        service["hand_over"] = "15:00";
        service["promised_by"] = "12:00";
    });
    const auto check = [&](const Planned& of) {
        return check_orders(changed, {}, demo_weather(), {&of, 1}, quick_request()).orders.front();
    };
    const Checked checked = check(planned);
    CHECK(checked.found.flagged);
    CHECK_THAT(checked.found.sentence, Catch::Contains("latest hand-over 16:00 instead of 17:30") &&
                                           Catch::Contains("hand-over 15:00 instead of 16:30") &&
                                           Catch::Contains("promised there 12:00 instead of 10:30"));
    CHECK(checked.option.has_value());
    const Checked again = check(after(planned, checked));
    CHECK(again.found.flagged);
    CHECK(again.found.sentence.empty());
    CHECK(again.found.trouble == checked.found.trouble);
    CHECK_THAT(check_one(after(planned, again)).found.sentence,
               Catch::Contains("it can go as planned again"));
}

TEST_CASE("A plan of the afternoon of its own day keeps its times through the next hour") {
    Planned planned = planned_order();
    planned.order.choice->ship_date = day_of_week(0);
    planned.order.choice->chosen = *parse_instant("2027-03-01T22:30:00Z");
    CheckRequest request = quick_request();
    request.now = *parse_instant("2027-03-01T22:31:00Z");
    planned = laid(planned);
    CHECK(check_orders(starter(), {}, demo_weather(), {&planned, 1}, request)
              .orders.front()
              .found.trouble.empty());
}

TEST_CASE("A day away that was entered after planning is a trouble and other days are looked for") {
    const Planned planned = as_it_is(planned_order());
    Limits limits;
    limits.days_away = {{day_of_week(1), day_of_week(1)}};
    const Checked checked =
        check_orders(starter(), limits, demo_weather(), {&planned, 1}, quick_request()).orders.front();
    CHECK(checked.found.flagged);
    CHECK(checked.found.standing == Verdict::comfortable);
    CHECK_THAT(checked.found.sentence, Catch::Contains("cannot go as planned: you are away on Tue 2 Mar"));
    REQUIRE(checked.found.better_day.has_value());
    CHECK(*checked.found.better_day != day_of_week(1));
}

TEST_CASE("A trouble is news once and the verdict that it ends is told with it") {
    Planned planned = planned_order();
    planned.order.choice->ship_date = day_of_week(-1);
    const Checked first = check_one(planned);
    CHECK_THAT(first.found.sentence, Catch::Contains("is past and it was not handed over") &&
                                         Catch::Contains("unknown now, comfortable before"));
    const Checked second = check_one(after(planned, first));
    CHECK(second.found.flagged);
    CHECK(second.found.sentence.empty());
    CHECK(second.found.trouble == first.found.trouble);
}

TEST_CASE("A forecast that is missing is told apart from what stands against the plan") {
    const ship::WithoutPlace source("Albany NY");
    const Checked no_weather = check_one(planned_order(), source);
    CHECK(no_weather.found.trouble.empty());
    CHECK_THAT(no_weather.no_weather, Catch::Contains("no forecast for Albany NY"));
    Planned planned = planned_order();
    planned.order.choice->packing = "old-box";
    const Checked gone = check_one(planned);
    CHECK(gone.no_weather.empty());
    CHECK_THAT(gone.found.trouble, Catch::Contains("packings.json has no 'old-box'"));
}

TEST_CASE("Why a service cannot be had is told of the order's own service") {
    Planned planned = planned_order();
    planned.order.choice->service = "road";
    const Checked checked = check_one(planned);
    CHECK_THAT(checked.found.trouble, Catch::Contains("Road") && Catch::Contains("not sold"));
    CHECK_THAT(checked.found.trouble, !Catch::Contains("Night"));
}

TEST_CASE("The chance that passed its limit is named with what it was") {
    const auto colder = ship::warmed(-25);
    const Planned planned = as_it_is(planned_order());
    const std::string said = check_one(planned, colder).found.sentence;
    CHECK_THAT(said, Catch::Contains("the chance of passing a harm limit is") &&
                         Catch::Contains("(was under 1 in 1000; tight ends at 2 in 100)"));
}

TEST_CASE("A day with a better verdict is told though it saves less than an hour") {
    // Wednesday stays as it is, tight by its cold; Thursday and Friday are made mild
    const ship::ChangedWeather milder([](const Place&, weather::Outlook& outlook) {
        for (auto& member : outlook.temp_c) {
            for (std::size_t i = 0; i < member.size(); ++i) {
                const Instant hour = outlook.first_hour + hours(static_cast<int>(i));
                if (hour >= date::sys_days(day_of_week(3)) + hours(18)) member[i] = std::max(member[i], 14.0);
            }
        }
    });
    Planned planned = planned_order();
    planned.order.choice->ship_date = day_of_week(2);
    planned = as_it_is(planned, milder);
    const Checked checked = check_one(planned, milder);
    REQUIRE(checked.found.standing == Verdict::tight);
    REQUIRE(*checked.found.hours_outside < 1.0);
    CHECK_FALSE(checked.found.better_day.has_value());  // it was chosen so
    planned.order.choice->verdict = Verdict::comfortable;
    Limits limits;
    limits.check.settles_at = 1;  // Thursday is comfortable with little room
    CheckRequest request = quick_request();
    request.scenarios = 2048;
    planned = laid(planned);
    const Checked told = check_orders(starter(), limits, milder, {&planned, 1}, request).orders.front();
    REQUIRE(told.better.has_value());
    CHECK(told.better->verdict == Verdict::comfortable);
    CHECK(told.found.better_by_hours < 1.0);
    CHECK_THAT(told.found.sentence, Catch::Contains("comfortable") && !Catch::Contains("0.0 h"));
}

TEST_CASE("The better day that is told changes once at most while the weather stays the same") {
    const ship::ChangedWeather bitter([](const Place&, weather::Outlook& outlook) {
        const Instant from = date::sys_days(day_of_week(1));
        for (auto& member : outlook.temp_c) {
            for (std::size_t i = 0; i < member.size(); ++i) {
                const Instant hour = outlook.first_hour + hours(static_cast<int>(i));
                if (hour >= from && hour < from + hours(36)) member[i] -= 25;
            }
        }
    });
    Planned planned = planned_order("JB-1", "Sacramento CA");
    planned.order.choice->packing = "small-19";
    planned = laid(planned);
    CheckRequest request = quick_request();
    const auto check = [&](const Planned& of) {
        return check_orders(starter(), {}, bitter, {&of, 1}, request).orders.front().found;
    };
    const orders::Reassessment first = check(planned);
    REQUIRE(first.better_day.has_value());
    CHECK_FALSE(first.better_service.empty());
    // from whichever day was told: over mornings of the same weather it changes once at most
    for (int day = 2; day < 5; ++day) {
        Planned morning = planned;
        morning.before = first;
        morning.before->better_day = day_of_week(day);
        int changes = 0;
        for (request.seed = 1; request.seed < 9; ++request.seed) {
            const orders::Reassessment next = check(morning);
            REQUIRE(next.better_day.has_value());
            if (request.seed > 1 && (next.better_day != morning.before->better_day ||
                                     next.better_packing != morning.before->better_packing))
                ++changes;
            morning.before = next;
        }
        CHECK(changes <= 1);
    }
}

TEST_CASE("A better day that is kept keeps what it saves and one that is past is not spoken of") {
    const ship::WithoutPlace source("Albany NY");
    Planned planned = planned_order();
    planned.before = orders::Reassessment{};
    planned.before->standing = Verdict::unknown;
    planned.before->better_day = day_of_week(3);
    planned.before->better_service = "night-air";
    planned.before->better_packing = "small-19";
    planned.before->better_by_hours = 2.5;
    const orders::Reassessment kept = check_one(planned, source).found;
    CHECK(kept.better_by_hours == 2.5);
    CHECK(kept.better_packing == "small-19");
    CHECK(kept.sentence.empty());
    planned.before->better_day = day_of_week(-1);
    const orders::Reassessment past = check_one(planned, source).found;
    CHECK_FALSE(past.better_day.has_value());
    CHECK(past.sentence.empty());
}

TEST_CASE("A check asks for the weather of each place once") {
    const CountingSource source;
    std::vector<Planned> planned;
    for (int i = 0; i < 6; ++i)
        planned.push_back(planned_order("JB-" + std::to_string(i), i % 2 == 0 ? "Duluth MN" : "Albany NY"));
    (void)check_orders(starter(), {}, source, planned, quick_request());
    for (const auto& [place, times] : source.asked()) {
        INFO(place);
        CHECK(times == 1);
    }
    CHECK(source.asked().contains("Duluth MN"));
}

TEST_CASE("A check gives the same on one thread and on two") {
    std::vector<Planned> planned{planned_order("JB-1"), planned_order("JB-2", "Albany NY"),
                                 planned_order("JB-3", "Tampa FL"), planned_order("JB-4")};
    planned[3].order.species = "crested-gecko";
    CheckRequest request = quick_request();
    request.threads = 1;
    const CheckResult one = check_orders(starter(), {}, demo_weather(), planned, request);
    request.threads = 2;
    const CheckResult two = check_orders(starter(), {}, demo_weather(), planned, request);
    REQUIRE(one.orders.size() == two.orders.size());
    for (std::size_t i = 0; i < one.orders.size(); ++i) {
        CHECK(one.orders[i].found.hours_outside == two.orders[i].found.hours_outside);
        CHECK(one.orders[i].found.sentence == two.orders[i].found.sentence);
    }
    CHECK(one.flagged == two.flagged);
}

TEST_CASE("Nothing is asked and nothing flagged without planned orders") {
    const CountingSource source;
    CHECK(check_orders(starter(), {}, source, {}, quick_request()).flagged == 0);
    CHECK(source.asked().empty());
}
