// The forecast error model on places and months that did not set its size, and at leads and a place that are
// not in the archive at all.
//
// What was used for what. The shape of the model (growth with lead, spread of the climate, floors by season
// and climate) comes from the archive of 164 places, 2021-22, of which these 24 places are a seventh. On top
// of it two numbers, one factor for the standard deviation of lows and one for highs, are set here on half
// of the places in half of the months, and tested on the other places in the other months; four times, so
// that each city-day is tested once. Places are halved by their turn in the alphabet, months into odd and
// even, which was settled before any result was looked at. That all four quarters are pooled was not: the
// quarter looked at first came out at 0.93 to 1.06, as far off as means of twelve places are bound to be.
//
// The factors come out at 0.89 to 0.96 for lows and 1.00 to 1.04 for highs. The model that plans use has
// neither: over all 164 places they are 0.99 and 1.03, and these 24 are mostly large cities, whose nights are
// easier than where a parcel goes may be. The last check of the first group says how that model does.
#include "catch.hpp"
#include "forecast_archive.hpp"

#include <array>
#include <cmath>
#include <fstream>
#include <set>
#include <string>
#include <vector>

using namespace mildway;
using namespace mildway::weather;
using namespace mildway::testing;

namespace {

/// Half of the places crossed with half of the months.
struct Part {
    bool second_places;
    bool odd_months;

    [[nodiscard]] Part opposite() const { return {!second_places, !odd_months}; }

    [[nodiscard]] bool holds(const CityDay& row) const {
        return second_places == is_second(row.city) &&
               odd_months == (static_cast<unsigned>(row.day.month()) % 2 == 1);
    }

private:
    static bool is_second(const std::string& city) {
        static const std::set<std::string> cities = [] {
            std::set<std::string> out;
            for (const CityDay& row : archive()) out.insert(row.city);
            return out;
        }();
        return std::distance(cities.begin(), cities.find(city)) % 2 == 1;
    }
};

constexpr std::array<Part, 4> kParts{{{false, false}, {false, true}, {true, false}, {true, true}}};

/// By how much the model's standard deviation would have to be multiplied to fit a part, over the four leads.
double factor_of(Phase phase, const Part& part) {
    double variance = 0;
    for (const Column& column : kColumns) {
        if (column.phase != phase) continue;
        const double sd = sd_of(standardised(column, [&](const CityDay& row) { return part.holds(row); }));
        variance += sd * sd / 4;
    }
    return std::sqrt(variance);
}

/// Errors of one column, each in units of a model whose factor was set on other places in other months.
std::vector<double> held_out(const Column& column) {
    std::vector<double> out;
    for (const Part& part : kParts) {
        const double factor = factor_of(column.phase, part.opposite());
        for (const double z : standardised(column, [&](const CityDay& row) { return part.holds(row); }))
            out.push_back(z / factor);
    }
    return out;
}

/// One forecast for Las Vegas and what came.
struct VegasPair {
    double lead_h;  ///< to the day's high
    double high_error_k;
    double low_error_k;  ///< of the low next morning, some 14 h after that high; NaN when it is not known
    Season season;
};

std::vector<VegasPair> read_las_vegas() {
    std::vector<VegasPair> out;
    std::ifstream in(std::string(MILDWAY_SHARED_DATA) + "/las_vegas_nws_forecast_obs_pairs_2026.csv");
    std::string line;
    std::getline(in, line);
    // forecast_updated_at, forecast_date, lead_h, high, observed high, low, observed low next morning (degF)
    while (std::getline(in, line)) {
        const auto cell = cells(line);
        if (cell[3].empty() || cell[4].empty() || std::stod(cell[2]) < 0) continue;
        const double low_error_k = cell[5].empty() || cell[6].empty()
                                       ? std::nan("")
                                       : (std::stod(cell[5]) - std::stod(cell[6])) / 1.8;
        out.push_back({std::stod(cell[2]), (std::stod(cell[3]) - std::stod(cell[4])) / 1.8, low_error_k,
                       season_of(parse_date(cell[1]).value(), 36)});
    }
    if (out.empty()) WARN("skipped: las_vegas_nws_forecast_obs_pairs_2026.csv is not in MILDWAY_SHARED_DATA");
    return out;
}

/// Standardised errors of the forecasts for the day that is `days` ahead.
std::vector<double> las_vegas(const std::vector<VegasPair>& pairs, Phase phase, int days) {
    std::vector<double> out;
    for (const VegasPair& pair : pairs) {
        const double error_k = phase == Phase::high ? pair.high_error_k : pair.low_error_k;
        if (static_cast<int>(pair.lead_h / 24) != days || std::isnan(error_k)) continue;
        const double lead_h = pair.lead_h + (phase == Phase::high ? 0 : 14);
        out.push_back((error_k + kMeanCorrectionK) /
                      error_sd_k(phase, pair.season, Climate::western_plain, lead_h));
    }
    return out;
}

}  // namespace

TEST_CASE("errors on places and months not used for the size are as large as the model says") {
    if (archive().empty()) return;
    for (const Column& column : kColumns) {
        const std::vector<double> z = held_out(column);
        INFO(name_of(column) << ": " << z.size() << " errors, standardised sd " << sd_of(z));
        REQUIRE(z.size() > 10000);
        CHECK(sd_of(z) >= 0.95);
        CHECK(sd_of(z) <= 1.05);
    }
}

TEST_CASE("the 90 percent interval holds on places and months not used for the size") {
    if (archive().empty()) return;
    for (const Column& column : kColumns) {
        const double share = share_in_90(held_out(column));
        INFO(name_of(column) << ": " << share);
        CHECK(share >= 0.88);
        CHECK(share <= 0.92);
    }
}

TEST_CASE("no quarter of the places and months is off by more than places differ") {
    if (archive().empty()) return;
    // the errors of single places differ by 17 % by night and 12 % by day (standard deviation over the 24),
    // so means of twelve places by 5 % at most, and two such means by 7 %; measured: 0.93 to 1.08
    for (const Part& part : kParts) {
        for (const Phase phase : {Phase::low, Phase::high}) {
            const double ratio = factor_of(phase, part) / factor_of(phase, part.opposite());
            INFO((phase == Phase::low ? "lows" : "highs"));
            CHECK(std::abs(std::log(ratio)) < 0.14);  // two standard errors
        }
    }
}

TEST_CASE("the size the plans use is never too small for these places by more than 5 percent") {
    if (archive().empty()) return;
    for (const Part& part : kParts) {
        const double lows = factor_of(Phase::low, part);
        const double highs = factor_of(Phase::high, part);
        CHECK(lows > 0.85);
        CHECK(lows < 1.0);
        CHECK(highs > 0.95);
        CHECK(highs < 1.05);
    }
}

TEST_CASE("up to a week ahead the model is wide enough for an easy desert city") {
    // Las Vegas, March to August 2026: not in the archive. Highs there err less than the class does.
    const std::vector<VegasPair> pairs = read_las_vegas();
    if (pairs.empty()) return;
    for (int days = 0; days <= 6; ++days) {
        INFO(days << " days ahead");
        const std::vector<double> highs = las_vegas(pairs, Phase::high, days);
        const std::vector<double> lows = las_vegas(pairs, Phase::low, days);
        REQUIRE(highs.size() > 300);
        REQUIRE(lows.size() > 200);
        // highs 0.65 on the day itself to 0.82 on the sixth day after it, lows 0.86 to 1.00
        CHECK(sd_of(highs) == Approx(0.74).margin(0.10));
        CHECK(sd_of(lows) > 0.8);
        CHECK(sd_of(lows) < 1.05);
        CHECK(share_in_90(highs) > 0.92);
        CHECK(share_in_90(lows) > 0.88);
    }
}

TEST_CASE("errors grow from the second to the seventh day as the model lets them grow") {
    // the midpoint of the growth, 170 h, was laid between what this place says (229 h) and what six cities
    // say (137 h): agreement within a sixth is consistency, not proof
    const std::vector<VegasPair> pairs = read_las_vegas();
    if (pairs.empty()) return;
    const auto growth = [&](Phase phase) {
        return sd_of(las_vegas(pairs, phase, 6)) / sd_of(las_vegas(pairs, phase, 1));
    };
    CHECK(growth(Phase::high) == Approx(1).margin(1.0 / 6));  // 1.11
    CHECK(growth(Phase::low) == Approx(1).margin(1.0 / 6));   // 0.92
}
