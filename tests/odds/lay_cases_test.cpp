// The cases of a day against trips laid one by one, over the starter's services and weeks with a change of
// clocks, a holiday and an early closing.
#include "mildway/odds/assess.hpp"

#include "catch.hpp"

#include <variant>
#include <vector>

using namespace mildway;
using namespace mildway::odds;

namespace {

struct Shop {
    Shop() {
        const std::string folder = MILDWAY_SOURCE_DIR "/config/";
        settings = transit::Settings::read(ConfigNode::load(folder + "settings.json"));
        holidays = transit::Holidays::read(ConfigNode::load(folder + "holidays.json"));
        services =
            transit::Services::read(ConfigNode::load(folder + "services.json"), {settings, holidays, hubs});
    }
    [[nodiscard]] transit::Route route(const transit::Service& service, const Place& destination) const {
        return {service, settings, transit::lane_of(service, start, destination), {minutes(50), minutes(30)}};
    }
    std::vector<Place> hubs{{"St. Louis MO", 38.63, -90.2, "America/Chicago", {}}};
    transit::Start start{{"Las Cruces NM", 32.31, -106.78, "America/Denver", {}},
                         {"El Paso TX", 31.76, -106.49, "America/Denver", {}}};
    transit::Settings settings;
    transit::Holidays holidays;
    transit::Services services;
};

const std::vector<Place> kDestinations{{"New York NY", 40.71, -74.01, "America/New_York", {}},
                                       {"Phoenix AZ", 33.45, -112.07, "America/Phoenix", {}},
                                       {"Las Cruces NM", 32.31, -106.78, "America/Denver", {}}};

void require_same(const transit::Trip& a, const transit::Trip& b) {
    REQUIRE(a.ship_date == b.ship_date);
    REQUIRE(a.delivery_date == b.delivery_date);
    REQUIRE(a.late.service_days == b.late.service_days);
    REQUIRE(a.late.wait == b.late.wait);
    REQUIRE(a.packed == b.packed);
    REQUIRE(a.handed_over == b.handed_over);
    REQUIRE(a.cut_off == b.cut_off);
    REQUIRE(a.promised == b.promised);
    REQUIRE(a.legs.size() == b.legs.size());
    for (std::size_t i = 0; i < a.legs.size(); ++i) {
        const transit::Leg &x = a.legs[i], &y = b.legs[i];
        REQUIRE(x.name == y.name);
        REQUIRE(x.setting == y.setting);
        REQUIRE(x.stretch.from == y.stretch.from);
        REQUIRE(x.stretch.to == y.stretch.to);
        REQUIRE(x.stretch.share_at(0.5) == y.stretch.share_at(0.5));
        REQUIRE(x.start == y.start);
        REQUIRE(x.end == y.end);
        REQUIRE(x.part == y.part);
        REQUIRE(x.latest == y.latest);
        REQUIRE(x.rule.spread_minutes == y.rule.spread_minutes);
        REQUIRE(x.rule.spread_factor == y.rule.spread_factor);
        REQUIRE(x.rule.kind == y.rule.kind);
    }
}

}  // namespace

TEST_CASE("the cases of a day are the trips that are laid one by one") {
    const Shop shop;
    int days = 0;
    for (const char* first : {"2027-03-08", "2027-11-01", "2026-11-20", "2026-12-18"}) {
        for (int i = 0; i < 12; ++i) {
            const Date date{date::sys_days(*parse_date(first)) + date::days(i)};
            // once long before, and once in the afternoon of the day itself
            for (const Instant now : {*parse_instant("2026-01-02T00:00:00Z"),
                                      Instant(date::sys_days(date)) + hours(22) + minutes(45)}) {
                for (const transit::Service& service : shop.services.all()) {
                    for (const Place& destination : kDestinations) {
                        INFO(service.id << " to " << destination.name << " " << format_date(date));
                        const transit::Route route = shop.route(service, destination);
                        const auto laid = lay_cases(route, date, now);
                        const auto on_time = route.lay(date, now);
                        if (const auto* none = std::get_if<transit::NoTrip>(&on_time)) {
                            REQUIRE(std::get<transit::NoTrip>(laid).reason == none->reason);
                            REQUIRE(std::get<transit::NoTrip>(laid).brief == none->brief);
                            continue;
                        }
                        const TripCases& cases = std::get<TripCases>(laid);
                        const transit::Trip& first_trip = std::get<transit::Trip>(on_time);
                        require_same(cases.on_time, first_trip);
                        REQUIRE(cases.one_late.size() == service.waits.size());
                        REQUIRE(cases.two_late.size() == service.waits.size());
                        for (std::size_t wait = 0; wait < service.waits.size(); ++wait) {
                            require_same(cases.one_late[wait],
                                         std::get<transit::Trip>(route.delayed(first_trip, {1, wait})));
                            require_same(cases.two_late[wait],
                                         std::get<transit::Trip>(route.delayed(first_trip, {2, wait})));
                            REQUIRE(cases.wait_shares.at(wait) == service.waits[wait].share);
                        }
                        const transit::LateOdds odds = transit::late_odds(service, date);
                        REQUIRE(cases.odds.one_day == odds.one_day);
                        REQUIRE(cases.odds.more_days == odds.more_days);
                        ++days;
                    }
                }
            }
        }
    }
    CHECK(days > 300);
}
