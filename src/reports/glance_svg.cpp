#include "mildway/reports/glance_report.hpp"

#include "plot.hpp"
#include "svg.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::reports {

using svg::Point;
using weather::Glance;
using weather::HourGlance;

namespace {

constexpr double kWidth = 900;
constexpr double kHeight = 380;
constexpr double kLeft = 52;
constexpr double kRight = 24;
constexpr double kTop = 64;
constexpr double kBottom = 58;
constexpr PlotFrame kFrame{kWidth, kHeight, kLeft, kRight, kTop, kBottom};

// One hue, light and dark, and grey where only the climate speaks; the words beside it say the same.
constexpr const char* kStyle = R"(<style>
text { font: 12px sans-serif; fill: #222 }
.title { font-size: 15px; font-weight: bold }
.small { font-size: 11px; fill: #444 }
.end { text-anchor: end; font-size: 11px; fill: #444 }
.middle { text-anchor: middle; font-size: 11px; fill: #444 }
.paper { fill: #fff }
.grid { stroke: #ddd; stroke-width: 1 }
.freezing { stroke: #2b5d8c; stroke-width: 1; stroke-dasharray: 8 4 }
.midnight { stroke: #999; stroke-width: 1; stroke-dasharray: 2 3 }
.air-fan { fill: #3b2a5c; fill-opacity: 0.3 }
.air { fill: none; stroke: #241640; stroke-width: 2 }
.climate-fan { fill: #8a8a8a; fill-opacity: 0.3 }
.climate { fill: none; stroke: #777; stroke-width: 1.5; stroke-dasharray: 5 3 }
</style>
)";

PlotScale scale_of(const Glance& glance) {
    double low_c = glance.hours.front().temp.p5_c;
    double high_c = low_c;
    for (const HourGlance& hour : glance.hours) {
        low_c = std::min(low_c, hour.temp.p5_c);
        high_c = std::max(high_c, hour.temp.p95_c);
    }
    return {kFrame, glance.hours.front().hour, glance.hours.back().hour, low_c, high_c, 0.2};
}

std::string freezing_line(const PlotScale& scale) {
    if (scale.low_c() > 0 || scale.high_c() < 0) return "";
    return svg::line({kLeft, scale.y(0)}, {kWidth - kRight, scale.y(0)}, "freezing");
}

/// A line at each local midnight, the day's name at noon.
std::string day_axis(const PlotScale& scale, const Glance& glance) {
    const auto& zone = find_zone(glance.place.zone);
    std::string all;
    for (const weather::DayGlance& day : glance.days) {
        const Instant midnight = to_instant(zone, day.day, minutes(0));
        const Instant noon = to_instant(zone, day.day, minutes(12 * 60));
        if (midnight >= glance.hours.front().hour && midnight <= scale.to())
            all += svg::line({scale.x(midnight), kTop}, {scale.x(midnight), kHeight - kBottom}, "midnight");
        if (noon >= glance.hours.front().hour && noon <= scale.to())
            all += svg::text({scale.x(noon), kHeight - kBottom + 18}, format_day(day.day), "middle");
    }
    return all;
}

/// One unbroken stretch of hours that rest on the same.
std::string stretch(const PlotScale& scale, std::vector<HourGlance>::const_iterator from,
                    std::vector<HourGlance>::const_iterator to, const std::string& style) {
    std::vector<Point> outline;
    std::vector<Point> middle;
    for (auto hour = from; hour != to; ++hour) {
        outline.push_back({scale.x(hour->hour), scale.y(hour->temp.p95_c)});
        middle.push_back({scale.x(hour->hour), scale.y(hour->temp.p50_c)});
    }
    for (auto hour = to; hour != from;) {
        --hour;
        outline.push_back({scale.x(hour->hour), scale.y(hour->temp.p5_c)});
    }
    return svg::polygon(outline, style + "-fan") + svg::polyline(middle, style);
}

/// Broken where hours are not known, so that no gap is drawn over.
std::string fans(const PlotScale& scale, const std::vector<HourGlance>& all) {
    std::string picture;
    for (auto from = all.begin(); from != all.end();) {
        auto to = from + 1;
        while (to != all.end() && to->hour == (to - 1)->hour + hours(1) && to->climate == from->climate) ++to;
        picture += stretch(scale, from, to, from->climate ? "climate" : "air");
        from = to;
    }
    return picture;
}

std::string key(const Glance& glance) {
    const double y = 48;
    std::string all = svg::line({kLeft, y - 4}, {kLeft + 26, y - 4}, "air") +
                      svg::text({kLeft + 32, y}, "air: middle of what may be, shaded 90 of 100", "small");
    const bool climate = std::any_of(glance.hours.begin(), glance.hours.end(),
                                     [](const HourGlance& hour) { return hour.climate; });
    if (climate) {
        all += svg::line({kLeft + 330, y - 4}, {kLeft + 356, y - 4}, "climate") +
               svg::text({kLeft + 362, y}, "no forecast: what the time of the year is like", "small");
    }
    return all;
}

}  // namespace

std::string glance_svg(const planning::Workspace& workspace, const Glance& glance) {
    const std::string title =
        fmt::format("{}, as of {}: {}", glance.place.name,
                    format_local(find_zone(glance.place.zone), glance.outlook.issued), glance.outlook.source);
    std::string picture = open_picture(
        kFrame, title,
        "Air temperature of the coming days: the middle of what may be, and between which values 90 of "
        "100 possible truths lie.");
    picture +=
        kStyle + svg::rectangle({0, 0}, kWidth, kHeight, "paper") + svg::text({kLeft, 26}, title, "title");
    if (glance.hours.empty()) {
        picture += svg::text({kLeft, kTop}, "nothing is known of the days ahead", "small");
    } else {
        const PlotScale scale = scale_of(glance);
        picture += key(glance) + temperature_axis(scale, workspace.scale) + freezing_line(scale) +
                   day_axis(scale, glance);
        picture += fans(scale, glance.hours);
    }
    std::string credits;
    for (const auto& line : glance.outlook.attributions) credits += (credits.empty() ? "" : "; ") + line;
    if (!glance.doubt.empty()) credits = "Do not plan with this: " + glance.doubt;
    picture += svg::text({kLeft, kHeight - 12}, credits, "small");
    return picture + "</svg>\n";
}

}  // namespace mildway::reports
