#include "mildway/weather/nws.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/weather/gridpoint.hpp"

#include "nws_problem.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <memory>

#include <fmt/format.h>

namespace mildway::weather {

namespace {

constexpr std::string_view kOwnUrl = "https://api.weather.gov";  // the links in its answers begin with it
constexpr const char* kAccept = "application/geo+json";
/// Over HTTP/2 they share one connection. The service names no limit; a plan asks for a dozen answers, and
/// 200 places should not take longer than a person waits.
constexpr int kAtOnce = 32;

/// A list of warnings older than this says nothing of new ones (judgement; they are written within minutes).
constexpr hours kAlertsHold{1};

/// At most four decimals, without zeros at the end: the service redirects anything else.
std::string format_degrees(double degrees) {
    std::string text = fmt::format("{:.4f}", degrees);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return text == "-0" ? "0" : text;
}

std::string format_point(const Place& place) {
    return fmt::format("{},{}", format_degrees(place.latitude_deg), format_degrees(place.longitude_deg));
}

std::string named(const Place& place) {
    return fmt::format("{} ({})", place.name, format_coordinates(place));
}

std::string age_of(const fetch::Got& got, Instant now) {
    const auto minutes_old = std::max<std::int64_t>(0, (now - got.fetched) / minutes(1));
    return minutes_old < 60 ? fmt::format("{} min ago", minutes_old)
                            : fmt::format("{} h ago", minutes_old / 60);
}

/// What went wrong, in the service's own words where it gave any.
std::string trouble_of(const fetch::Got& got) {
    const std::string words = parse_nws_problem(got.error_body).words();
    return words.empty() ? got.trouble : fmt::format("{}: {}", got.trouble, words);
}

std::string reason_of(const Place& place, const fetch::Got& got) {
    const NwsProblem problem = parse_nws_problem(got.error_body);
    if (problem.kind == "InvalidPoint")
        return fmt::format("{} lies outside the area of the {}", named(place), kNwsName);
    if (problem.kind == "MarineForecastNotSupported")
        return fmt::format("the {} has no forecast for {}: the point lies in its marine areas", kNwsName,
                           named(place));
    if (problem.kind == "ForecastGridExpired")
        return fmt::format("the {}'s forecast for {} has expired and there is no newer one yet: {}", kNwsName,
                           named(place), problem.detail);
    if (got.status == 403)
        return fmt::format("{}: it refuses this program; is the contact in workspace.json right?",
                           got.trouble);
    return trouble_of(got);
}

fetch::Wanted point_wanted(const std::string& base_url, const Place& place) {
    fetch::Wanted wanted;
    wanted.url = fmt::format("{}/points/{}", base_url, format_point(place));
    wanted.accept = kAccept;
    wanted.at_once = kAtOnce;
    wanted.fresh_for = hours(7 * 24);  // cells are renumbered without notice, but seldom
    wanted.keep_for = hours(60 * 24);
    wanted.check = [url = wanted.url](const std::string& body) { (void)parse_nws_point(url, body); };
    return wanted;
}

fetch::Wanted alerts_wanted(const std::string& base_url, const Place& place) {
    fetch::Wanted wanted;
    wanted.url = fmt::format("{}/alerts/active?point={}", base_url, format_point(place));
    wanted.accept = kAccept;
    wanted.at_once = kAtOnce;
    wanted.fresh_for = minutes(10);
    wanted.keep_for = hours(12);  // older ones are most likely over
    wanted.check = [url = wanted.url](const std::string& body) { (void)parse_nws_alerts(url, body); };
    return wanted;
}

/// A forecast on its way: the body, and what the fetcher's check made of it, so that it is parsed once.
struct Grid {
    std::string url;
    fetch::Got got;
    std::string checked_body;
    std::optional<Gridpoint> checked;

    [[nodiscard]] Gridpoint gridpoint() const {
        return checked && checked_body == got.body ? *checked : parse_gridpoint(url, got.body);
    }
};

fetch::Wanted grid_wanted(const std::shared_ptr<Grid>& grid) {
    fetch::Wanted wanted;
    wanted.url = grid->url;
    wanted.accept = kAccept;
    wanted.at_once = kAtOnce;
    wanted.fresh_for = minutes(30);
    wanted.check = [grid](const std::string& body) {
        grid->checked = parse_gridpoint(grid->url, body);
        grid->checked_body = body;
    };
    return wanted;
}

/// One place on its way to a reading.
struct Stop {
    const Place* place = nullptr;
    NwsPoint point;
    std::string url;     ///< of its forecast; empty when there is none
    std::string reason;  ///< why not
    std::shared_ptr<Grid> grid;
    fetch::Got alerts;
};

/// All places of one question.
class Question {
public:
    Question(const fetch::Fetcher& fetcher, const std::string& base_url, std::span<const Place> places)
        : fetcher_(fetcher), base_url_(base_url), stops_(places.size()) {
        for (std::size_t i = 0; i < places.size(); ++i) stops_[i].place = &places[i];
    }

    [[nodiscard]] std::vector<Reading> answer() {
        std::vector<Stop*> all;
        for (Stop& stop : stops_) all.push_back(&stop);
        resolve(all, false);
        fetch(all, true);
        resolve_anew();
        std::vector<Reading> readings;
        for (const Stop& stop : stops_) readings.push_back(reading_of(stop));
        return readings;
    }

private:
    /// Finds the address of each place's forecast.
    void resolve(const std::vector<Stop*>& stops, bool ask_anyway) {
        std::vector<fetch::Wanted> wanted;
        for (const Stop* stop : stops) {
            wanted.push_back(point_wanted(base_url_, *stop->place));
            wanted.back().ask_anyway = ask_anyway;
        }
        const std::vector<fetch::Got> got = fetcher_.get(wanted);
        for (std::size_t i = 0; i < stops.size(); ++i) {
            if (!got[i].good()) {
                give_up(*stops[i], reason_of(*stops[i]->place, got[i]));
                continue;
            }
            try {
                set_point(*stops[i], parse_nws_point(wanted[i].url, got[i].body));
            } catch (const WeatherError& error) {  // a copy that was kept by an older program
                give_up(*stops[i], error.what());
            }
        }
    }

    static void give_up(Stop& stop, std::string reason) {
        stop.url.clear();
        stop.reason = std::move(reason);
    }

    void set_point(Stop& stop, NwsPoint point) {
        stop.point = std::move(point);
        stop.url = own_link(stop.point.gridpoint_url);
        if (!stop.url.empty()) {
            stop.reason.clear();
        } else if (stop.point.gridpoint_url.empty()) {
            stop.reason = fmt::format("the {} has no forecast grid at {}", kNwsName, named(*stop.place));
        } else {
            stop.reason =
                fmt::format("{}/points names '{}' for the forecast of {}, which is not its own; not followed",
                            base_url_, stop.point.gridpoint_url, stop.place->name);
        }
    }

    /// The link on the host that was asked; empty for one that leads elsewhere.
    [[nodiscard]] std::string own_link(const std::string& link) const {
        for (const std::string_view host : {std::string_view(base_url_), kOwnUrl}) {
            if (!link.starts_with(host)) continue;
            const std::string path = link.substr(host.size());
            const bool plain = std::all_of(path.begin(), path.end(), [](char c) {
                return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                       c == '/' || c == ',' || c == '-' || c == '_';
            });
            if (plain && path.starts_with("/gridpoints/")) return base_url_ + path;
        }
        return "";
    }

    /// Asks for forecasts, and for active warnings beside them. Places that share a cell share its answer.
    void fetch(const std::vector<Stop*>& stops, bool with_alerts) {
        std::map<std::string, std::shared_ptr<Grid>> grids;
        std::vector<fetch::Wanted> wanted;
        for (Stop* stop : stops) {
            if (stop->url.empty()) continue;
            std::shared_ptr<Grid>& grid = grids[stop->url];
            if (!grid) grid = std::make_shared<Grid>(Grid{stop->url, {}, {}, {}});
            stop->grid = grid;
        }
        for (const auto& [url, grid] : grids) wanted.push_back(grid_wanted(grid));
        std::vector<Stop*> warned;
        for (Stop* stop : stops) {
            if (!with_alerts || stop->url.empty()) continue;
            wanted.push_back(alerts_wanted(base_url_, *stop->place));
            warned.push_back(stop);
        }
        std::vector<fetch::Got> got = fetcher_.get(wanted);
        auto next = got.begin();
        for (const auto& [url, grid] : grids) grid->got = std::move(*next++);
        for (Stop* stop : warned) stop->alerts = std::move(*next++);
    }

    /// A cell that is not found may have been renumbered: the points are asked for once more.
    void resolve_anew() {
        std::vector<Stop*> lost;
        for (Stop& stop : stops_) {
            if (stop.grid && stop.grid->got.status == 404) lost.push_back(&stop);
        }
        if (lost.empty()) return;
        const std::vector<Stop> before = copies_of(lost);
        resolve(lost, true);
        std::vector<Stop*> moved;
        for (std::size_t i = 0; i < lost.size(); ++i) {
            if (!lost[i]->url.empty() && lost[i]->url != before[i].url) moved.push_back(lost[i]);
        }
        if (!moved.empty()) fetch(moved, false);
        for (std::size_t i = 0; i < lost.size(); ++i) {
            const bool found = lost[i]->grid != nullptr && lost[i]->grid->got.good();
            if (!found && before[i].grid->got.good()) *lost[i] = before[i];  // a kept copy of the old cell
        }
    }

    static std::vector<Stop> copies_of(const std::vector<Stop*>& stops) {
        std::vector<Stop> copies;
        for (const Stop* stop : stops) copies.push_back(*stop);
        return copies;
    }

    [[nodiscard]] Reading reading_of(const Stop& stop) const {
        if (!stop.grid) return {std::nullopt, stop.reason};
        const fetch::Got& got = stop.grid->got;
        if (!got.good()) return without_forecast(stop, stop.reason.empty() ? grid_reason(stop) : stop.reason);
        try {
            const Gridpoint gridpoint = stop.grid->gridpoint();
            Outlook outlook = gridpoint.outlook;
            outlook.fetched = got.fetched;
            outlook.at_sea = stop.point.marine;
            if (!got.trouble.empty()) {
                outlook.findings.push_back(fmt::format("{}; using the copy fetched {}", trouble_of(got),
                                                       age_of(got, fetcher_.now())));
            }
            check_cell(gridpoint, *stop.place, outlook);
            add_alerts(stop, outlook);
            return {std::move(outlook), ""};
        } catch (const WeatherError& error) {
            return without_forecast(stop, error.what());
        }
    }

    /// Warnings hold also where the forecast fails: another source may have one.
    [[nodiscard]] Reading without_forecast(const Stop& stop, std::string reason) const {
        Outlook warned;
        add_alerts(stop, warned);
        return {std::nullopt, std::move(reason), std::move(warned.alerts), warned.alerts_known};
    }

    static std::string grid_reason(const Stop& stop) {
        std::string reason = reason_of(*stop.place, stop.grid->got);
        if (stop.grid->got.status != 404 || reason != trouble_of(stop.grid->got)) return reason;
        return fmt::format("the {} no longer knows the grid cell of {} and names no other: {}", kNwsName,
                           named(*stop.place), reason);
    }

    static void check_cell(const Gridpoint& gridpoint, const Place& place, Outlook& outlook) {
        if (gridpoint.cell.empty()) {
            outlook.findings.push_back(
                fmt::format("the {} does not say which area its forecast is for; it may not be that of {}",
                            kNwsName, place.name));
        } else if (!gridpoint.contains(place)) {
            const Place middle{"", *outlook.cell_latitude_deg, *outlook.cell_longitude_deg, ""};
            outlook.findings.push_back(fmt::format(
                "{} does not lie in the grid cell that the {} answered for, but {:.1f} km from its middle",
                place.name, kNwsName, distance_km(place, middle)));
        }
    }

    void add_alerts(const Stop& stop, Outlook& outlook) const {
        const fetch::Got& got = stop.alerts;
        if (!got.good()) {
            outlook.findings.push_back(
                fmt::format("active warnings could not be asked for: {}", trouble_of(got)));
            return;
        }
        try {
            outlook.alerts = parse_nws_alerts(base_url_ + "/alerts/active", got.body);
            outlook.alerts_known = fetcher_.now() - got.fetched <= kAlertsHold;
        } catch (const WeatherError& error) {
            outlook.findings.push_back(fmt::format("active warnings could not be read: {}", error.what()));
            return;
        }
        if (!got.trouble.empty()) {
            outlook.findings.push_back(
                fmt::format("active warnings could not be asked for: {}; those of {} are used",
                            trouble_of(got), age_of(got, fetcher_.now())));
        }
    }

    const fetch::Fetcher& fetcher_;
    const std::string& base_url_;
    std::vector<Stop> stops_;
};

/// Degrees of latitude and longitude.
struct Box {
    double south, north, west, east;
};

}  // namespace

NwsSource::NwsSource(const fetch::Fetcher* fetcher, std::string base_url)
    : fetcher_(fetcher), base_url_(std::move(base_url)) {}

std::vector<Reading> NwsSource::read(std::span<const Place> places) const {
    return Question(*fetcher_, base_url_, places).answer();
}

bool NwsSource::covers(const Place& place) const {
    // outer bounds of the land, read off a map from memory; a strip of the neighbours is in them, for which
    // the service then says that it has no forecast
    static constexpr std::array kBoxes{
        Box{24.3, 49.5, -125, -66.8},     // contiguous states
        Box{51, 71.6, -180, -129.9},      // Alaska
        Box{51, 53.6, 172, 180},          // the Aleutians beyond the date line
        Box{18.7, 28.6, -178.5, -154.6},  // Hawaii
        Box{17.5, 18.7, -68, -64.4},      // Puerto Rico and the Virgin Islands
        Box{13, 20.7, 144.4, 146.2},      // Guam and the Northern Marianas
        Box{-14.7, -10.9, -171.2, -168},  // American Samoa
    };
    return std::any_of(kBoxes.begin(), kBoxes.end(), [&](const Box& box) {
        return place.latitude_deg >= box.south && place.latitude_deg <= box.north &&
               place.longitude_deg >= box.west && place.longitude_deg <= box.east;
    });
}

NwsPoint NwsSource::point(const Place& place) const {
    const fetch::Wanted wanted = point_wanted(base_url_, place);
    const fetch::Got got = fetcher_->get(wanted);
    if (!got.good()) throw WeatherError(reason_of(place, got));
    return parse_nws_point(wanted.url, got.body);
}

}  // namespace mildway::weather
