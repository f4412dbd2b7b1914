#include "mildway/planning/explain.hpp"
#include "mildway/reports/timeline_report.hpp"

#include "plot.hpp"
#include "svg.hpp"

#include <algorithm>
#include <functional>

#include <fmt/format.h>

namespace mildway::reports {

namespace {

using svg::Point;

constexpr double kWidth = 900;
constexpr double kHeight = 520;
constexpr double kLeft = 52;
constexpr double kRight = 140;  // room for the names of the limits
constexpr double kTop = 58;
constexpr double kBottom = 140;  // room for times and the names of the legs
constexpr PlotFrame kFrame{kWidth, kHeight, kLeft, kRight, kTop, kBottom};

// Cold blue, warm orange, grey between: readable for the colour-blind and in print; every meaning is also in
// words.
constexpr const char* kStyle = R"(<style>
text { font: 12px sans-serif; fill: #222 }
.title { font-size: 15px; font-weight: bold }
.small { font-size: 11px; fill: #444 }
.end { text-anchor: end; font-size: 11px; fill: #444 }
.middle { text-anchor: middle; font-size: 11px; fill: #444 }
.too-cold { fill: #d5e4f3 }
.too-warm { fill: #fbe0c3 }
.safe { fill: #f7f7f7 }
.grid { stroke: #ddd; stroke-width: 1 }
.leg { stroke: #999; stroke-width: 1; stroke-dasharray: 2 3 }
.safe-edge { stroke: #555; stroke-width: 1 }
.harm { stroke: #222; stroke-width: 1; stroke-dasharray: 8 4 }
.around-fan { fill: #8a8a8a; fill-opacity: 0.28 }
.around { fill: none; stroke: #777; stroke-width: 1.2; stroke-dasharray: 5 3 }
.animals-fan { fill: #3b2a5c; fill-opacity: 0.35 }
.animals { fill: none; stroke: #241640; stroke-width: 2.2 }
</style>
)";

PlotScale scale_of(const TimelineSubject& subject, const odds::Timeline& timeline) {
    double low_c = subject.species->harm.low_c;
    double high_c = subject.species->harm.high_c;
    for (const auto& moment : timeline.moments) {
        low_c = std::min({low_c, moment.around_c.p5, moment.animals_c.p5});
        high_c = std::max({high_c, moment.around_c.p95, moment.animals_c.p95});
    }
    return {kFrame, timeline.moments.front().when, timeline.moments.back().when, low_c, high_c, 0.4};
}

std::string backgrounds(const PlotScale& scale, const care::Species& species) {
    const double width = kWidth - kLeft - kRight;
    const auto stripe = [&](double low_c, double high_c, const char* style_class) {
        return svg::rectangle({kLeft, scale.y(high_c)}, width, scale.y(low_c) - scale.y(high_c), style_class);
    };
    return stripe(species.safe.high_c, scale.high_c(), "too-warm") +
           stripe(species.safe.low_c, species.safe.high_c, "safe") +
           stripe(scale.low_c(), species.safe.low_c, "too-cold");
}

std::string limits(const PlotScale& scale, const care::Species& species, planning::TemperatureScale degrees) {
    std::string all;
    const auto limit = [&](double temp_c, const char* style_class, const char* name) {
        all += svg::line({kLeft, scale.y(temp_c)}, {kWidth - kRight, scale.y(temp_c)}, style_class);
        all += svg::text({kWidth - kRight + 6, scale.y(temp_c) + 4},
                         fmt::format("{} {}", name, planning::temperature_text(temp_c, degrees)), "small");
    };
    limit(species.safe.low_c, "safe-edge", "too cold below");
    limit(species.safe.high_c, "safe-edge", "too warm above");
    limit(species.harm.low_c, "harm", "harm below");
    limit(species.harm.high_c, "harm", "harm above");
    return all;
}

std::string time_axis(const PlotScale& scale, const date::time_zone& zone) {
    const auto span = scale.to() - scale.from();
    const hours every{span > hours(60) ? 12 : span > hours(30) ? 6 : 3};
    std::string all;
    for (Instant when = date::ceil<hours>(scale.from()); when <= scale.to(); when += hours(1)) {
        if (static_cast<int>(local_hour(zone, when)) % every.count() != 0) continue;
        all += svg::line({scale.x(when), kHeight - kBottom}, {scale.x(when), kHeight - kBottom + 5},
                         "safe-edge");
        const std::string time = format_local(zone, when);
        all += svg::text({scale.x(when), kHeight - kBottom + 18},
                         time.substr(0, 3) + " " + time.substr(time.size() - 5), "middle");
    }
    return all;
}

/// Dividers between legs; names stand upright below the axis, where there is room between two of them.
std::string leg_marks(const PlotScale& scale, const transit::Trip& trip) {
    constexpr double kLineHeight = 12;
    std::string all;
    double last_x = -100;
    for (const auto& leg : trip.legs) {
        if (leg.start >= scale.to()) break;
        const double x = scale.x(std::max(leg.start, scale.from()));
        all += svg::line({x, kTop}, {x, kHeight - kBottom}, "leg");
        const double name_x = std::max(x + 10, last_x + kLineHeight);
        all += svg::upward_text({name_x, kHeight - kBottom + 26}, leg.name, "end");
        last_x = name_x;
    }
    return all;
}

std::string fan(const PlotScale& scale, const odds::Timeline& timeline, const std::string& style_class,
                const std::function<const odds::Spread&(const odds::Moment&)>& value) {
    std::vector<Point> high;
    std::vector<Point> middle;
    std::vector<Point> low;
    for (const auto& moment : timeline.moments) {
        high.push_back({scale.x(moment.when), scale.y(value(moment).p95)});
        middle.push_back({scale.x(moment.when), scale.y(value(moment).p50)});
        low.push_back({scale.x(moment.when), scale.y(value(moment).p5)});
    }
    std::vector<Point> outline = high;
    outline.insert(outline.end(), low.rbegin(), low.rend());
    return svg::polygon(outline, style_class + "-fan") + svg::polyline(middle, style_class);
}

std::string key() {
    const double y = 44;
    return svg::line({kLeft, y - 4}, {kLeft + 26, y - 4}, "animals") +
           svg::text({kLeft + 32, y}, "animals: middle of all trips, shaded 90 of 100", "small") +
           svg::line({kLeft + 320, y - 4}, {kLeft + 346, y - 4}, "around") +
           svg::text({kLeft + 352, y}, "air around the box, likewise", "small");
}

}  // namespace

std::string timeline_svg(const TimelineSubject& subject, const odds::Timeline& timeline) {
    const auto& workspace = *subject.workspace;
    const PlotScale scale = scale_of(subject, timeline);
    const std::string title = fmt::format(
        "{} to {}, {}: {}, {}", subject.species->common, subject.lane->at(transit::Role::destination).name,
        format_day(subject.trip->ship_date), subject.service->label, subject.packing->label);
    std::string picture = open_picture(
        kFrame, title,
        fmt::format(
            "Temperatures of the animals and of the air around their box through the trip, against the "
            "safe band of {} to {}.",
            planning::temperature_text(subject.species->safe.low_c, workspace.scale),
            planning::temperature_text(subject.species->safe.high_c, workspace.scale)));
    picture += kStyle + svg::rectangle({0, 0}, kWidth, kHeight, "safe") +
               svg::text({kLeft, 24}, title, "title") + key();
    picture += backgrounds(scale, *subject.species) + temperature_axis(scale, workspace.scale);
    picture += leg_marks(scale, *subject.trip) + limits(scale, *subject.species, workspace.scale);
    picture += fan(scale, timeline, "around",
                   [](const odds::Moment& m) -> const odds::Spread& { return m.around_c; });
    picture += fan(scale, timeline, "animals",
                   [](const odds::Moment& m) -> const odds::Spread& { return m.animals_c; });
    picture += time_axis(scale, find_zone(workspace.origin.zone));
    return picture + "</svg>\n";
}

}  // namespace mildway::reports
