// The forecast error model against forecasts and observations of the US National Weather Service.
//
// What was used for what: the constants of the model come from an archive of public bulletins, January 2021
// to June 2022, 164 places. The 24 places here are part of that archive, so the first two checks are of
// consistency; forecast_error_held_out_test.cpp keeps places and months apart. The shares kSteadyShare and
// kNeighbourCorrelation were chosen on these 24 places as well.
#include "mildway/weather/forecast_error.hpp"

#include "mildway/weather/sampled_weather.hpp"

#include "catch.hpp"
#include "forecast_archive.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fstream>
#include <map>
#include <numbers>
#include <string>
#include <vector>

using namespace mildway;
using namespace mildway::weather;
using namespace mildway::testing;

namespace {

bool every_row(const CityDay&) {
    return true;
}

struct Pairs {
    std::vector<double> a;
    std::vector<double> b;

    [[nodiscard]] double correlation() const {
        const double n = static_cast<double>(a.size());
        double sa = 0, sb = 0, saa = 0, sbb = 0, sab = 0;
        for (std::size_t i = 0; i < a.size(); ++i) {
            sa += a[i], sb += b[i], saa += a[i] * a[i], sbb += b[i] * b[i], sab += a[i] * b[i];
        }
        return (sab - sa * sb / n) / std::sqrt((saa - sa * sa / n) * (sbb - sb * sb / n));
    }
};

/// Errors of two columns of one bulletin: `later` is looked up `days` on.
Pairs measured(const Column& earlier, const Column& later, int days) {
    std::map<std::pair<std::string, date::sys_days>, const CityDay*> by_day;
    for (const CityDay& row : archive()) by_day[{row.city, date::sys_days(row.day)}] = &row;
    Pairs pairs;
    for (const CityDay& row : archive()) {
        const auto other = by_day.find({row.city, date::sys_days(row.day) + date::days(days)});
        if (other == by_day.end()) continue;
        const auto a = row.error_k.find(earlier);
        const auto b = other->second->error_k.find(later);
        if (a == row.error_k.end() || b == other->second->error_k.end()) continue;
        pairs.a.push_back(a->second);
        pairs.b.push_back(b->second);
    }
    return pairs;
}

/// Highs and lows of sampled days at two places 300 km apart, from a forecast of sunny spring days (10 to 20
/// degC).
class SampledDays {
public:
    explicit SampledDays(int issue_clock)
        : issue_clock_(issue_clock),
          sampled_(places(issue_clock), midnight(), midnight() + hours(95),
                   {.scenarios = kScenarios, .threads = 2}) {}

    /// The day's extreme less the forecast one, at the day that has this lead.
    [[nodiscard]] std::vector<double> errors(std::size_t place, const Column& column) const {
        const bool high = column.phase == Phase::high;
        const int valid = issue_clock_ + column.lead_h;  // hours from local midnight to 16:00 or 06:00
        std::vector<double> out(kScenarios, high ? -1e9 : 1e9);
        for (int hour = valid - 6; hour <= valid + 6; ++hour) {
            const auto row = sampled_.hour(place, static_cast<std::uint32_t>(hour));
            for (std::size_t s = 0; s < kScenarios; ++s) {
                const double t = static_cast<double>(row[s]);
                out[s] = high ? std::max(out[s], t) : std::min(out[s], t);
            }
        }
        for (double& t : out) t -= high ? 20 : 10;
        return out;
    }

    static constexpr std::uint32_t kScenarios = 24000;  // standard error of a correlation 0.006

private:
    static Instant midnight() { return date::sys_days(date::year(2027) / 4 / 6) + hours(5); }  // in Chicago

    static std::vector<PlaceOutlook> places(int issue_clock) {
        Outlook outlook;
        outlook.issued = midnight() + hours(issue_clock);
        outlook.first_hour = midnight();
        outlook.temp_c.emplace_back();
        for (int hour = 0; hour < 96; ++hour) {
            const int since_low = (hour + 18) % 24;
            const double shape = since_low < 10 ? -std::cos(std::numbers::pi * since_low / 10)
                                                : std::cos(std::numbers::pi * (since_low - 10) / 14);
            outlook.temp_c.front().push_back(15 + 5 * shape);
        }
        return {{{"south", 40.0, -90.0, "America/Chicago"}, outlook},
                {{"north", 42.701, -90.0, "America/Chicago"}, outlook}};
    }

    int issue_clock_;
    SampledWeather sampled_;
};

}  // namespace

TEST_CASE("errors of real forecast highs are as large as the model says") {
    if (archive().empty()) return;
    for (const Column& column : kColumns) {
        if (column.phase == Phase::low) continue;
        const std::vector<double> z = standardised(column, every_row);
        INFO(name_of(column) << ": " << z.size() << " errors");
        REQUIRE(z.size() > 10000);
        CHECK(sd_of(z) == Approx(1).margin(0.08));  // 0.98 to 1.05
    }
}

TEST_CASE("errors of real forecast lows at 24 mostly large cities are a little smaller than the model says") {
    if (archive().empty()) return;
    // These 24 are easier by night than all 164 places, which the model is for (the next check): the model
    // errs on the cautious side here.
    for (const Column& column : kColumns) {
        if (column.phase == Phase::high) continue;
        const std::vector<double> z = standardised(column, every_row);
        INFO(name_of(column) << ": " << z.size() << " errors");
        REQUIRE(z.size() > 10000);
        CHECK(sd_of(z) == Approx(0.92).margin(0.03));
    }
}

TEST_CASE("over all 164 places errors are as large as the model says in every climate") {
    // our table of the whole archive; the model is averaged over the archive's sixteen months
    std::ifstream in(std::string(MILDWAY_SHARED_DATA) + "/nws_error_by_lead.csv");
    if (!in) {
        WARN("skipped: nws_error_by_lead.csv is not in MILDWAY_SHARED_DATA");
        return;
    }
    const std::map<std::string, Climate> climates{{"alaska", Climate::alaska},
                                                  {"tropical", Climate::tropical},
                                                  {"pacific coast", Climate::pacific_coast},
                                                  {"warm coast east", Climate::warm_coast_east},
                                                  {"warm interior east", Climate::elsewhere},
                                                  {"cold-winter interior east", Climate::elsewhere},
                                                  {"western mountain/valley", Climate::western_mountain},
                                                  {"western plain/desert", Climate::western_plain},
                                                  {"all", Climate::elsewhere}};
    constexpr std::array<double, 4> kMonthsOfSeason{4, 6, 3, 3};
    int rows = 0;
    std::string line;
    while (std::getline(in, line)) {
        const auto cell = cells(line);
        const auto climate = climates.find(cell[1]);
        if (climate == climates.end()) continue;
        const Phase phase = cell[2] == "high" ? Phase::high : Phase::low;
        double variance = 0;
        for (std::size_t season = 0; season < 4; ++season) {
            const double sd =
                error_sd_k(phase, static_cast<Season>(season), climate->second, std::stod(cell[3]));
            variance += kMonthsOfSeason[season] / 16 * sd * sd;
        }
        INFO(line);
        CHECK(std::stod(cell[8]) / std::sqrt(variance) == Approx(1).margin(cell[1] == "all" ? 0.05 : 0.11));
        ++rows;
    }
    CHECK(rows == 72);
}

TEST_CASE("the 90 percent interval holds about 90 percent of real errors") {
    if (archive().empty()) return;
    for (const Column& column : kColumns) {
        const std::vector<double> z = standardised(column, every_row);
        const double share = share_in_90(z);
        INFO(name_of(column));
        CHECK(share > 0.87);
        CHECK(share < 0.93);
    }
}

TEST_CASE("sampled days hang together from day to day as real errors do") {
    if (archive().empty()) return;
    // a bulletin of the morning looks 8 h ahead to the high, one of the evening 20 h
    const auto [issue_clock, today, tomorrow] = GENERATE(table<int, Column, Column>({
        {8, {Phase::high, 8}, {Phase::high, 32}},
        {20, {Phase::high, 20}, {Phase::high, 44}},
        {20, {Phase::low, 10}, {Phase::low, 34}},
        {8, {Phase::low, 22}, {Phase::low, 46}},
    }));
    const SampledDays days(issue_clock);
    const double drawn = Pairs{days.errors(0, today), days.errors(0, tomorrow)}.correlation();
    const double real = measured(today, tomorrow, 1).correlation();  // .27, .29, .23, .23
    INFO(name_of(today) << ": drawn " << drawn << ", measured " << real);
    CHECK(drawn == Approx(real).margin(0.08));
}

TEST_CASE("sampled days hang together from high to low as real errors do") {
    if (archive().empty()) return;
    const auto [issue_clock, earlier, later, days_on] = GENERATE(table<int, Column, Column, int>({
        {8, {Phase::high, 8}, {Phase::low, 22}, 1},
        {20, {Phase::high, 20}, {Phase::low, 34}, 1},
        {20, {Phase::low, 10}, {Phase::high, 20}, 0},
        {8, {Phase::low, 22}, {Phase::high, 32}, 0},
    }));
    const SampledDays days(issue_clock);
    const double drawn = Pairs{days.errors(0, earlier), days.errors(0, later)}.correlation();
    const double real =
        measured(earlier, later, days_on).correlation();  // .18 to .22; over all 164 places .10 to .16
    INFO(name_of(earlier) << ": drawn " << drawn << ", measured " << real);
    CHECK(drawn == Approx(real).margin(0.08));
}

TEST_CASE("sampled days at 300 km hang together as real errors do") {
    // measured on 164 places, contiguous US, all seasons, places 250 to 350 km apart
    const auto [issue_clock, column, real] = GENERATE(table<int, Column, double>({
        {8, {Phase::high, 8}, 0.21},
        {20, {Phase::high, 20}, 0.27},
        {20, {Phase::high, 44}, 0.36},
        {20, {Phase::low, 10}, 0.16},
        {8, {Phase::low, 46}, 0.25},
    }));
    const SampledDays days(issue_clock);
    const double drawn = Pairs{days.errors(0, column), days.errors(1, column)}.correlation();
    INFO(name_of(column));
    CHECK(drawn == Approx(real).margin(0.05));
}

TEST_CASE("sampled highs and lows are as uncertain as the model of highs and lows") {
    // the residual widens each hour, the interpolation narrows the hours about the extreme: the two cancel
    const SampledDays days(20);
    for (const Column& column :
         {Column{Phase::low, 10}, Column{Phase::high, 20}, Column{Phase::low, 34}, Column{Phase::high, 44}}) {
        INFO(name_of(column));
        const double model = error_sd_k(column.phase, Season::spring, Climate::elsewhere, column.lead_h);
        CHECK(sd_of(days.errors(0, column)) == Approx(model).epsilon(0.04));
    }
}
