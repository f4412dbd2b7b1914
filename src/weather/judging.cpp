#include "mildway/weather/judging.hpp"

#include "hourly.hpp"
#include "plausibility.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace mildway::weather {

namespace {

/// Grids are 2.5 km (US National Weather Service) to 25 km (global ensembles) wide; half a diagonal of the
/// widest is 18 km.
constexpr double kFarCellKm = 20;
/// Beyond this the weather is another one (judgement).
constexpr double kOtherCellKm = 60;
/// Differences in height below this change the temperature by less than the forecast's rounding.
constexpr double kWorthSayingM = 150;
/// Two heights this far apart are a fault of one of them, feet for metres say: no grid smooths a mountain by
/// as much (judgement).
constexpr double kWrongHeightM = 1500;
/// In valleys the air does not follow the standard lapse rate: this share of the correction is added as error
/// (judgement).
constexpr double kLapseErrorShare = 0.25;
/// A forecast that ends sooner than this after its issue is broken: all the services look six days ahead.
constexpr hours kShortest{48};
/// A forecast issued later than now by more than this points at a wrong clock.
constexpr minutes kClockSlack{60};

void judge_cell(Outlook& outlook, const Place& place) {
    if (!outlook.cell_latitude_deg || !outlook.cell_longitude_deg) return;
    const Place cell{"cell", *outlook.cell_latitude_deg, *outlook.cell_longitude_deg, ""};
    const double km = distance_km(cell, place);
    if (km > kOtherCellKm) {
        outlook.doubt = fmt::format("the forecast of {} is for a point {:.0f} km away from {}",
                                    outlook.source, km, place.name);
    } else if (km > kFarCellKm) {
        outlook.findings.push_back(
            fmt::format("the forecast of {} is for a point {:.0f} km away", outlook.source, km));
    }
}

void judge_height(Outlook& outlook, const Place& place) {
    if (!outlook.cell_elevation_m || !place.elevation_m) return;
    const double higher_m = *outlook.cell_elevation_m - *place.elevation_m;
    const double shift_k = kLapseKPerM * higher_m;
    if (std::abs(higher_m) > kWrongHeightM) {
        outlook.doubt =
            fmt::format("{} gives {:.0f} m as the height of {}, workspace.json {:.0f} m: one is wrong",
                        outlook.source, *outlook.cell_elevation_m, place.name, *place.elevation_m);
        return;
    }
    for (auto& member : outlook.temp_c) {
        for (double& temp_c : member) temp_c += shift_k;
    }
    const Hours span{outlook.first_hour, outlook.hour_count()};
    for (const auto& member : outlook.temp_c) {
        const std::string fault = impossible_air(span, member);
        if (!fault.empty()) outlook.doubt = fmt::format("{}: {}", outlook.source, fault);
    }
    if (std::abs(higher_m) < kWorthSayingM) return;
    outlook.extra_error_k.resize(outlook.hour_count(), 0.0);
    for (double& error_k : outlook.extra_error_k) error_k = std::hypot(error_k, kLapseErrorShare * shift_k);
    outlook.findings.push_back(
        fmt::format("the forecast of {} is for a height {:.0f} m {} the place: {:+.1f} K added",
                    outlook.source, std::abs(higher_m), higher_m > 0 ? "above" : "below", shift_k));
}

void judge_length(Outlook& outlook) {
    const Instant last = outlook.last_known();
    if (std::isnan(outlook.at(outlook.temp_c.front(), last))) {
        outlook.doubt = fmt::format("{} gives no temperature at any hour", outlook.source);
    } else if (outlook.basis != Basis::climate && last < outlook.issued + kShortest) {
        outlook.findings.push_back(
            fmt::format("the forecast of {} stops early, {:.0f} hours after it was issued", outlook.source,
                        std::max(0.0, in_hours(last - outlook.issued))));
    }
}

}  // namespace

void judge(Outlook& outlook, const Place& place) {
    if (outlook.hour_count() == 0) {
        outlook.doubt = fmt::format("{} gives no temperature at any hour", outlook.source);
        return;
    }
    judge_cell(outlook, place);
    judge_height(outlook, place);
    judge_length(outlook);
    if (outlook.at_sea) {
        outlook.findings.push_back(fmt::format(
            "{} counts this point as water: on land, days are warmer and nights colder", outlook.source));
    }
}

std::string doubt_about(const Outlook& outlook, const Place& place, Instant now, hours stale_after) {
    if (!outlook.doubt.empty()) return outlook.doubt;
    const auto& zone = find_zone(place.zone);
    if (outlook.issued > now + kClockSlack) {
        return fmt::format("the forecast for {} was issued {}, which is later than now; check the clock",
                           place.name, format_local(zone, outlook.issued));
    }
    if (now - outlook.issued > stale_after) {
        return fmt::format(
            "the forecast for {} is stale: issued {}, {:.0f} hours ago (at most {} are trusted)", place.name,
            format_local(zone, outlook.issued), in_hours(now - outlook.issued), stale_after.count());
    }
    return "";
}

}  // namespace mildway::weather
