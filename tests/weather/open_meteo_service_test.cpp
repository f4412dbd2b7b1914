#include "mildway/base/errors.hpp"
#include "mildway/weather/open_meteo.hpp"

#include "catch.hpp"
#include "source_fixtures.hpp"

#include <algorithm>
#include <filesystem>
#include <vector>

#include <fmt/format.h>
#include <fmt/ranges.h>

using namespace mildway;
using namespace mildway::weather;
using namespace mildway::testing;
using Catch::Matchers::Contains;

namespace {

const Place kDuluth{"Duluth MN", 46.7867, -92.1005, "America/Chicago"};
const Place kTampa{"Tampa FL", 27.9506, -82.4572, "America/New_York"};

struct Cell {
    double latitude_deg;
    double longitude_deg;
};
constexpr Cell kDuluthCell{46.79, -92.11};
constexpr Cell kTampaCell{27.95, -82.45};

/// One place's answer: temperatures base_c + 0.1 h from `first` on.
std::string made_answer(const Cell& cell, Instant first, int hour_count, double base_c,
                        const std::vector<std::string>& keys = {"temperature_2m"}) {
    std::vector<long> times;
    std::vector<std::string> temps;
    for (int i = 0; i < hour_count; ++i) {
        const Instant hour = first + hours(i);
        times.push_back(hour.time_since_epoch().count());
        // by the clock, so that answers that begin at different hours agree where they overlap
        temps.push_back(fmt::format(
            "{:.1f}", base_c + 0.1 * static_cast<double>(hour.time_since_epoch().count() / 3600 % 24)));
    }
    std::string units = R"("time": "unixtime")";
    std::string columns = fmt::format("\"time\": [{}]", fmt::join(times, ", "));
    for (const std::string& key : keys) {
        units += fmt::format(", \"{}\": \"°C\"", key);
        columns += fmt::format(", \"{}\": [{}]", key, fmt::join(temps, ", "));
    }
    return fmt::format(R"({{"latitude": {}, "longitude": {}, "utc_offset_seconds": 0, "elevation": 10.0,
        "hourly_units": {{{}}}, "hourly": {{{}}}}})",
                       cell.latitude_deg, cell.longitude_deg, units, columns);
}

const Instant kMidnight = date::sys_days(date::year(2027) / 3 / 1);

OpenMeteoHosts hosts_at(const LocalService& service, const std::string& api_key = "") {
    OpenMeteoHosts hosts;
    hosts.forecast = hosts.ensemble = hosts.archive = service.server.url();
    hosts.api_key = api_key;
    return hosts;
}

std::string list_of(const std::vector<std::string>& answers) {
    return fmt::format("[{}]", fmt::join(answers, ","));
}

}  // namespace

TEST_CASE("Open-Meteo is asked once for several places and its list is in their order") {
    LocalService service([](const Seen&) {
        return reply(200, list_of({made_answer(kDuluthCell, kMidnight, 48, -8),
                                   made_answer(kTampaCell, kMidnight, 48, 18)}));
    });
    const auto readings =
        OpenMeteoForecast(&service.fetcher, hosts_at(service)).read(std::vector{kDuluth, kTampa});
    REQUIRE(service.server.seen().size() == 1);
    CHECK(
        service.server.seen()[0].target ==
        "/v1/forecast?latitude=46.7867,27.9506&longitude=-92.1005,-82.4572"
        "&hourly=temperature_2m,cloud_cover,wind_speed_10m,wind_gusts_10m,snowfall,precipitation,weather_code"
        "&wind_speed_unit=ms&forecast_days=16&timezone=GMT&timeformat=unixtime");
    REQUIRE(readings.size() == 2);
    REQUIRE(readings[0].outlook);
    REQUIRE(readings[1].outlook);
    CHECK(readings[0].outlook->temp_c.front()[0] == -8);
    CHECK(readings[1].outlook->temp_c.front()[0] == 18);
    CHECK(readings[1].outlook->fetched == service.now);
    CHECK(readings[1].outlook->issued == service.now);
    CHECK(readings[1].outlook->error_factor == 1.1);
}

TEST_CASE("more places than one request may hold are asked for in several one after the other") {
    LocalService service([](const Seen& seen) {
        const auto commas =
            std::count(seen.target.begin(),
                       seen.target.begin() + static_cast<long>(seen.target.find("&longitude")), ',');
        return reply(200, list_of(std::vector<std::string>(static_cast<std::size_t>(commas) + 1,
                                                           made_answer(kDuluthCell, kMidnight, 48, -8))));
    });
    const std::vector<Place> places(60, kDuluth);
    const auto readings = OpenMeteoForecast(&service.fetcher, hosts_at(service)).read(places);
    CHECK(readings.size() == 60);
    CHECK(std::all_of(readings.begin(), readings.end(),
                      [](const Reading& r) { return r.outlook.has_value(); }));
    CHECK(service.server.seen().size() == 2);
    CHECK(service.server.most_at_once() == 1);
}

TEST_CASE("the key goes over the wire and is kept nowhere") {
    LocalService service([](const Seen&) { return reply(200, made_answer(kDuluthCell, kMidnight, 48, -8)); });
    const auto readings =
        OpenMeteoForecast(&service.fetcher, hosts_at(service, "hidden-key")).read(std::vector{kDuluth});
    REQUIRE(readings[0].outlook);
    CHECK_THAT(service.server.seen().at(0).target, Catch::Matchers::EndsWith("&apikey=hidden-key"));
    CHECK_THAT(readings[0].outlook->origin, !Contains("hidden"));
    for (const auto& file : std::filesystem::recursive_directory_iterator(service.folder.path())) {
        CHECK_THAT(file.path().string(), !Contains("hidden"));
        if (file.is_regular_file()) CHECK_THAT(slurp(file.path()), !Contains("hidden"));
    }
}

TEST_CASE("a list of another length is refused") {
    LocalService service(
        [](const Seen&) { return reply(200, list_of({made_answer(kDuluthCell, kMidnight, 48, -8)})); });
    const auto readings =
        OpenMeteoForecast(&service.fetcher, hosts_at(service)).read(std::vector{kDuluth, kTampa});
    CHECK_FALSE(readings[0].outlook);
    CHECK_THAT(readings[0].reason, Contains("it holds 1 places; 2 were asked for"));
}

TEST_CASE("a list that breaks off is refused") {
    LocalService service([](const Seen&) {
        const std::string whole = list_of(
            {made_answer(kDuluthCell, kMidnight, 48, -8), made_answer(kTampaCell, kMidnight, 48, 18)});
        return reply(200, whole.substr(0, whole.size() - 40) + "Unexpected error while streaming data: x");
    });
    const auto readings =
        OpenMeteoForecast(&service.fetcher, hosts_at(service)).read(std::vector{kDuluth, kTampa});
    CHECK_THAT(readings[1].reason, Contains("sent something that is not what was asked for") &&
                                       Contains("the list of places does not end"));
}

TEST_CASE("an answer for another place is refused") {
    LocalService service([](const Seen&) {
        return reply(200, list_of({made_answer(kTampaCell, kMidnight, 48, 18),
                                   made_answer(kDuluthCell, kMidnight, 48, -8)}));
    });
    const auto readings =
        OpenMeteoForecast(&service.fetcher, hosts_at(service)).read(std::vector{kDuluth, kTampa});
    CHECK_FALSE(readings[0].outlook);
    CHECK_THAT(readings[0].reason, Contains("is for a point 22") && Contains("km away from Duluth MN"));
}

TEST_CASE("a limit that is used up is told in the words of the service") {
    LocalService service([](const Seen&) {
        return reply(
            400,
            R"({"error": true, "reason": "Daily API request limit exceeded. Please try again tomorrow."})");
    });
    const auto readings = OpenMeteoForecast(&service.fetcher, hosts_at(service)).read(std::vector{kDuluth});
    CHECK_THAT(readings[0].reason,
               Contains("Open-Meteo: 127.0.0.1:") && Contains("answered 400") &&
                   Contains("\"Daily API request limit exceeded. Please try again tomorrow.\""));
}

TEST_CASE("an answer that stays the same ages from when it was first seen") {
    LocalService service([](const Seen&) { return reply(200, made_answer(kDuluthCell, kMidnight, 48, -8)); });
    const OpenMeteoForecast source(&service.fetcher, hosts_at(service));
    const Instant first = service.now;
    static_cast<void>(source.read(std::vector{kDuluth}));
    for (int i = 0; i < 3; ++i) {
        service.now += hours(5);
        const Reading reading = source.read(std::vector{kDuluth})[0];
        REQUIRE(reading.outlook);
        CHECK(reading.outlook->fetched == service.now);
        CHECK(reading.outlook->issued == first);
    }
}

TEST_CASE("a feed that stands still is noticed while its window moves on over many days") {
    Instant begin = kMidnight;
    LocalService service([&](const Seen&) { return reply(200, made_answer(kDuluthCell, begin, 48, -8)); });
    const OpenMeteoForecast source(&service.fetcher, hosts_at(service));
    const Instant first = service.now;
    Reading last;
    for (int day = 0; day < 5; ++day) {
        last = source.read(std::vector{kDuluth})[0];
        begin += hours(24);
        service.now += hours(24);
    }
    REQUIRE(last.outlook);
    CHECK(last.outlook->issued == first);
}

TEST_CASE("an answer with one other temperature is new") {
    std::string answer = made_answer(kDuluthCell, kMidnight, 48, -8);
    LocalService service([&](const Seen&) { return reply(200, answer); });
    const OpenMeteoForecast source(&service.fetcher, hosts_at(service));
    static_cast<void>(source.read(std::vector{kDuluth}));
    service.now += hours(5);
    answer = replaced(answer, "-7.7", "-7.6");
    CHECK(source.read(std::vector{kDuluth})[0].outlook->issued == service.now);
}

TEST_CASE("less than a day in common does not show a feed that stands still") {
    std::string answer = made_answer(kDuluthCell, kMidnight, 30, -8);
    LocalService service([&](const Seen&) { return reply(200, answer); });
    const OpenMeteoForecast source(&service.fetcher, hosts_at(service));
    static_cast<void>(source.read(std::vector{kDuluth}));
    service.now += hours(5);
    answer = made_answer(kDuluthCell, kMidnight + hours(7), 30, -8);  // 23 hours of the same
    CHECK(source.read(std::vector{kDuluth})[0].outlook->issued == service.now);
}

TEST_CASE("without the service the last part of a place is used whatever it was asked with") {
    LocalService service([](const Seen&) {
        return reply(200, list_of({made_answer(kDuluthCell, kMidnight, 48, -8),
                                   made_answer(kTampaCell, kMidnight, 48, 18)}));
    });
    const Instant first = service.now;
    static_cast<void>(
        OpenMeteoForecast(&service.fetcher, hosts_at(service)).read(std::vector{kDuluth, kTampa}));
    service.now += hours(2);
    const auto readings = OpenMeteoForecast(&service.offline, hosts_at(service)).read(std::vector{kTampa});
    REQUIRE(readings[0].outlook);
    CHECK(readings[0].outlook->temp_c.front()[0] == 18);
    CHECK(readings[0].outlook->fetched == first);
    CHECK_THAT(readings[0].outlook->findings.at(0),
               Contains("Open-Meteo gave no new answer") && Contains("offline"));
}

TEST_CASE("a part that is weeks old is not used") {
    LocalService service([](const Seen&) { return reply(200, made_answer(kDuluthCell, kMidnight, 48, -8)); });
    static_cast<void>(OpenMeteoForecast(&service.fetcher, hosts_at(service)).read(std::vector{kDuluth}));
    service.now += hours(15 * 24);
    const auto readings = OpenMeteoForecast(&service.offline, hosts_at(service)).read(std::vector{kDuluth});
    CHECK_FALSE(readings[0].outlook);
    CHECK_THAT(readings[0].reason, Contains("Open-Meteo: ") && Contains("offline"));
}

TEST_CASE("an ensemble is asked for with its model and only for temperatures") {
    const std::string answer =
        made_answer(kDuluthCell, kMidnight, 48, -8,
                    {"temperature_2m", "temperature_2m_member01", "temperature_2m_member02"});
    LocalService service([&](const Seen&) { return reply(200, answer); });
    const auto readings = OpenMeteoEnsemble(&service.fetcher, hosts_at(service)).read(std::vector{kDuluth});
    REQUIRE(readings[0].outlook);
    CHECK(readings[0].outlook->temp_c.size() == 3);
    CHECK(readings[0].outlook->source == "Open-Meteo ensemble");
    CHECK(readings[0].outlook->error_factor == 1);
    CHECK(
        service.server.seen().at(0).target ==
        "/v1/ensemble?latitude=46.7867&longitude=-92.1005&hourly=temperature_2m&models=ecmwf_ifs025_ensemble"
        "&forecast_days=15&timezone=GMT&timeformat=unixtime");
}

namespace {

/// The value of start_date in an address.
Instant start_of(const Seen& seen) {
    const std::size_t at = seen.target.find("start_date=") + 11;
    return date::sys_days(*parse_date(seen.target.substr(at, 10)));
}

/// Temperatures tell the year: 10 + (year - 2020).
Reply archive_answer(const Seen& seen, int days) {
    const Instant start = start_of(seen);
    const int year = static_cast<int>(Date(date::floor<date::days>(start)).year());
    return reply(200, made_answer(kDuluthCell, start, days * 24, 10 + year - 2020));
}

}  // namespace

TEST_CASE("past years are members over the same days of the calendar") {
    LocalService service([](const Seen& seen) { return archive_answer(seen, 3); });
    const OpenMeteoPastYears source(&service.fetcher, hosts_at(service), 6);
    const Reading reading = source.read(std::vector{kDuluth}, kMidnight + hours(6), kMidnight + hours(60))[0];
    REQUIRE(reading.outlook);
    const Outlook& outlook = *reading.outlook;
    CHECK(outlook.basis == Basis::climate);
    CHECK(outlook.source == "Open-Meteo past years");
    CHECK(outlook.first_hour == kMidnight);
    CHECK(outlook.climate_from == kMidnight);
    CHECK(outlook.hour_count() == 72);
    REQUIRE(outlook.temp_c.size() == 6);
    CHECK(outlook.temp_c[0][0] == 16);  // 2026
    CHECK(outlook.temp_c[5][0] == 11);  // 2021
    CHECK_THAT(service.server.seen().at(0).target,
               Contains("/v1/archive?latitude=46.7867&longitude=-92.1005") &&
                   Contains("start_date=2026-03-01&end_date=2026-03-03"));
}

TEST_CASE("days from 29 February begin on the 28th in years that have none") {
    LocalService service([](const Seen& seen) { return archive_answer(seen, 2); });
    service.now = date::sys_days(date::year(2028) / 2 / 20);
    const OpenMeteoPastYears source(&service.fetcher, hosts_at(service), 5);
    const Instant leap_day = date::sys_days(date::year(2028) / 2 / 29);
    const Reading reading = source.read(std::vector{kDuluth}, leap_day, leap_day + hours(48))[0];
    REQUIRE(reading.outlook);
    CHECK(reading.outlook->first_hour == leap_day);
    CHECK_THAT(service.server.seen().at(0).target, Contains("start_date=2027-02-28&end_date=2027-03-01"));
    CHECK_THAT(service.server.seen().at(3).target, Contains("start_date=2024-02-29&end_date=2024-03-01"));
}

TEST_CASE("a year that is not over yet in the archive is not asked for") {
    LocalService service([](const Seen& seen) { return archive_answer(seen, 1); });
    const OpenMeteoPastYears source(&service.fetcher, hosts_at(service), 5);
    const Instant in_a_year = service.now + hours(24 * 366);  // 1 March 2028
    static_cast<void>(source.read(std::vector{kDuluth}, in_a_year, in_a_year));
    CHECK_THAT(service.server.seen().at(0).target, Contains("start_date=2026-03-01"));
}

TEST_CASE("a past year with a hole is left out and told") {
    LocalService service([](const Seen& seen) {
        Reply whole = archive_answer(seen, 1);
        if (seen.target.find("start_date=2024") != std::string::npos)
            whole.body = replaced(whole.body, "14.5", "null");
        return whole;
    });
    const OpenMeteoPastYears source(&service.fetcher, hosts_at(service), 6);
    const Reading reading = source.read(std::vector{kDuluth}, kMidnight, kMidnight + hours(24))[0];
    REQUIRE(reading.outlook);
    CHECK(reading.outlook->temp_c.size() == 5);
    CHECK_THAT(reading.outlook->findings.at(0), Contains("only 5 of 6 past years can be used"));
}

TEST_CASE("too few past years are refused") {
    LocalService service([](const Seen& seen) {
        return seen.target.find("start_date=202") != std::string::npos &&
                       start_of(seen) > Instant(date::sys_days(date::year(2024) / 1 / 1))
                   ? archive_answer(seen, 1)
                   : reply(400, R"({"error": true, "reason": "no data"})");
    });
    const OpenMeteoPastYears source(&service.fetcher, hosts_at(service), 6);
    const Reading reading = source.read(std::vector{kDuluth}, kMidnight, kMidnight + hours(24))[0];
    CHECK_FALSE(reading.outlook);
    CHECK_THAT(reading.reason,
               Contains("3 of 6 past years can be used: Open-Meteo archive: ") && Contains("no data"));
}
