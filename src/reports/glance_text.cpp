#include "mildway/planning/explain.hpp"
#include "mildway/reports/glance_report.hpp"

#include "layout.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace mildway::reports {

using weather::DayGlance;
using weather::Fan;
using weather::Glance;

namespace {

constexpr double kWorthSayingGustMPerS = 15;
constexpr double kWorthSayingThunder = 0.15;
constexpr double kSnowWillNotLieC = 4;
constexpr std::size_t kMostAlerts = 6;

std::string age(Instant now, Instant then) {
    return fmt::format("{:.0f} h ago", std::max(0.0, in_hours(now - then)));
}

std::string voice_line(const Glance& glance, const weather::Voice& voice) {
    std::string text = fmt::format("{} ({}): issued {}", voice.source, weather::basis_name(voice.basis),
                                   age(glance.now, voice.issued));
    if (voice.fetched) text += fmt::format(", asked {}", age(glance.now, *voice.fetched));
    text += fmt::format(", up to {}", format_local(find_zone(glance.place.zone), voice.known_until));
    if (glance.outlook.voices.size() > 1) {
        text += std::abs(voice.apart_k) < 0.05
                    ? fmt::format(", weight {:.2f}, as the whole on average", voice.weight)
                    : fmt::format(", weight {:.2f}, {:.1f} K {} than the whole on average", voice.weight,
                                  std::abs(voice.apart_k), voice.apart_k > 0 ? "warmer" : "colder");
    }
    return text;
}

/// The sources, as those of a pool or as the only one.
std::vector<weather::Voice> voices_of(const Glance& glance) {
    const weather::Outlook& outlook = glance.outlook;
    if (!outlook.voices.empty()) return outlook.voices;
    const Instant until = outlook.climate_from ? *outlook.climate_from - hours(1) : outlook.last_known();
    return {{outlook.source, outlook.origin, outlook.basis, outlook.issued, outlook.fetched, until, 1, 0, 0}};
}

std::string header(const Glance& glance) {
    std::string text = paragraph("", fmt::format("{} ({}), clock {}", glance.place.name,
                                                 format_coordinates(glance.place), glance.place.zone));
    for (const auto& voice : voices_of(glance)) text += paragraph("  ", voice_line(glance, voice));
    if (!glance.doubt.empty()) text += paragraph("  ! ", glance.doubt + ". Do not plan with this.");
    for (const auto& finding : glance.outlook.findings) text += paragraph("  ! ", finding);
    return text;
}

std::string fan_cell(const Fan& fan, planning::TemperatureScale scale) {
    const auto number = [&](double c) {
        const double shown = scale == planning::TemperatureScale::celsius ? c : to_fahrenheit(Celsius(c));
        return fmt::format("{}", std::lround(shown));
    };
    return fmt::format("{} ({}..{})", planning::temperature_text(fan.p50_c, scale), number(fan.p5_c),
                       number(fan.p95_c));
}

std::string sky_words(const DayGlance& day) {
    if (!day.cloud_fraction) return "?";
    if (*day.cloud_fraction < 0.25) return "clear";
    if (*day.cloud_fraction < 0.6) return "mixed";
    return "cloudy";
}

/// What could make a parcel late, or be hard on a doorstep.
std::vector<std::string> hazard_words(const DayGlance& day) {
    std::vector<std::string> words;
    const bool cold_enough = day.low.p5_c < kSnowWillNotLieC;
    if (day.snow_mm && *day.snow_mm >= 1)
        words.push_back(fmt::format("snow {:.0f} cm", std::ceil(*day.snow_mm / 10)));
    if (day.ice_mm && *day.ice_mm >= 0.1) words.push_back(fmt::format("ice {:.1f} mm", *day.ice_mm));
    if (cold_enough && !day.climate && (!day.snow_mm || !day.ice_mm)) {
        words.emplace_back(!day.snow_mm && !day.ice_mm ? "snow, ice: not known"
                           : !day.snow_mm              ? "snow: not known"
                                                       : "ice: not known");
    }
    if (day.thunder_probability.value_or(0) >= kWorthSayingThunder)
        words.push_back(fmt::format("thunder {:.0f} in 10", std::ceil(*day.thunder_probability * 10)));
    const double gust = std::max(day.gust_m_per_s.value_or(0), day.wind_m_per_s.value_or(0));
    if (gust >= kWorthSayingGustMPerS) words.push_back(fmt::format("gusts {:.0f} m/s", gust));
    return words;
}

/// Joined by commas into lines of at most `width` columns, at least one line.
std::vector<std::string> lines_of(const std::vector<std::string>& words, std::size_t width) {
    std::vector<std::string> lines{""};
    for (const std::string& word : words) {
        std::string& last = lines.back();
        if (last.empty()) {
            last = word;
        } else if (last.size() + 2 + word.size() <= width) {
            last += ", " + word;
        } else {
            last += ",";
            lines.push_back(word);
        }
    }
    return lines;
}

std::string table(const Glance& glance, planning::TemperatureScale scale) {
    constexpr std::size_t kDay = 11;
    constexpr std::size_t kFan = 18;
    constexpr std::size_t kSky = 6;
    constexpr std::size_t kMind = kColumns - kDay - 2 * kFan - kSky - 4;
    const auto row = [](const std::string& day, const std::string& low, const std::string& high,
                        const std::string& sky, const std::string& mind) {
        const std::string line = fmt::format("{} {} {} {} {}", fit(day, kDay), fit(low, kFan),
                                             fit(high, kFan), fit(sky, kSky), mind);
        return line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
    };
    std::string text = "\n" + row("Day", "Low", "High", "Sky", "Mind");
    bool any_climate = false;
    for (const DayGlance& day : glance.days) {
        any_climate = any_climate || day.climate;
        const auto mind = lines_of(hazard_words(day), kMind);
        text += row(format_day(day.day) + (day.climate ? "*" : ""), fan_cell(day.low, scale),
                    fan_cell(day.high, scale), sky_words(day), mind.front());
        for (std::size_t i = 1; i < mind.size(); ++i) text += row("", "", "", "", mind[i]);
    }
    if (glance.days.empty()) text += "nothing is known of the days ahead\n";
    text += "   Middle of what may be, and where 9 of 10 lie. Today: what is left of it.\n";
    if (any_climate) text += "   * No forecast reaches this day: what the time of the year is like.\n";
    return text;
}

std::string alerts(const Glance& glance) {
    const weather::Outlook& outlook = glance.outlook;
    if (outlook.alerts.empty())
        return outlook.alerts_known ? "\nWarnings in force: none.\n" : "\nWarnings in force: not known.\n";
    const auto& zone = find_zone(glance.place.zone);
    std::string text = outlook.alerts_known ? "\nWarnings in force:\n"
                                            : "\nWarnings in force: not known; an older answer had:\n";
    for (std::size_t i = 0; i < std::min(outlook.alerts.size(), kMostAlerts); ++i) {
        const weather::Alert& alert = outlook.alerts[i];
        text += paragraph("  ! ", fmt::format("{}, from {} {}", alert.event, format_local(zone, alert.begins),
                                              alert.ends ? "to " + format_local(zone, *alert.ends)
                                                         : std::string("until further notice")));
    }
    if (outlook.alerts.size() > kMostAlerts)
        text += fmt::format("  and {} more, see --json\n", outlook.alerts.size() - kMostAlerts);
    return text;
}

}  // namespace

std::string glance_text(const planning::Workspace& workspace, const Glance& glance) {
    std::string text = header(glance) + table(glance, workspace.scale) + alerts(glance);
    if (!glance.outlook.attributions.empty()) text += "\n";
    for (const auto& line : glance.outlook.attributions) text += paragraph("", line);
    return text;
}

}  // namespace mildway::reports
