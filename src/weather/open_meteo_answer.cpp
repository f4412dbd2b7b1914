#include "open_meteo_answer.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/weather/open_meteo.hpp"

#include "open_meteo_table.hpp"
#include "plausibility.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

namespace mildway::weather {

namespace {

// NIST SP 811, appendix B: 1 mile/h = 0.44704 m/s, 1 knot = 1852/3600 m/s, 1 inch = 25.4 mm, all exact.
constexpr std::array kTemperatureUnits{ServiceUnit{"°C", 1}, ServiceUnit{"°F", 1 / 1.8, -32 / 1.8}};
constexpr std::array kShareUnits{ServiceUnit{"%", 0.01}};
constexpr std::array kSpeedUnits{ServiceUnit{"m/s", 1}, ServiceUnit{"km/h", 1 / 3.6},
                                 ServiceUnit{"mp/h", 0.44704}, ServiceUnit{"kn", 1852.0 / 3600}};
constexpr std::array kDepthUnits{ServiceUnit{"mm", 1}, ServiceUnit{"cm", 10}, ServiceUnit{"inch", 25.4}};
constexpr std::array kCodeUnits{ServiceUnit{"wmo code", 1}};

constexpr OpenMeteoVariable kTemperature{"temperature_2m", "temperature_2m"};
constexpr OpenMeteoVariable kCloud{"cloud_cover", "cloudcover"};
constexpr OpenMeteoVariable kWind{"wind_speed_10m", "windspeed_10m"};
constexpr OpenMeteoVariable kGust{"wind_gusts_10m", "windgusts_10m"};
constexpr OpenMeteoVariable kSnow{"snowfall", "snowfall"};
constexpr OpenMeteoVariable kWater{"precipitation", "precipitation"};
constexpr OpenMeteoVariable kCode{"weather_code", "weathercode"};

/// WMO code table 4677 as the service uses it: thunderstorms, and drizzle or rain that freezes.
bool is_thunder(double code) {
    return code >= 95 && code <= 99;
}
bool is_freezing(double code) {
    return code == 56 || code == 57 || code == 66 || code == 67;
}

/// A series of hours that end at their labels, by their beginnings; the last hour becomes unknown.
std::vector<double> by_beginning(std::vector<double> series) {
    if (series.empty()) return series;
    std::rotate(series.begin(), series.begin() + 1, series.end());
    series.back() = kNotKnown;
    return series;
}

class AnswerReader {
public:
    explicit AnswerReader(const JsonValue& root) : root_(root), table_(root) {}

    Outlook read(Basis basis) {
        out_.basis = basis;
        out_.first_hour = table_.span().first;
        read_cell();
        if (basis == Basis::ensemble) {
            read_members();
        } else {
            out_.temp_c.push_back(table_.column(kTemperature, kTemperatureUnits));
            if (out_.temp_c.front().empty()) table_.hourly().fail("holds no temperature_2m");
            read_layers();
        }
        for (const auto& member : out_.temp_c) check_air(table_.hourly(), table_.span(), member);
        out_.findings = temperature_gaps(table_.span(), out_.temp_c.front());
        return std::move(out_);
    }

private:
    void read_cell() {
        const JsonValue latitude = root_.at("latitude");
        const JsonValue longitude = root_.at("longitude");
        if (std::abs(latitude.number()) > 90) latitude.fail("is no latitude");
        if (std::abs(longitude.number()) > 180) longitude.fail("is no longitude");
        out_.cell_latitude_deg = latitude.number();
        out_.cell_longitude_deg = longitude.number();
        if (const auto elevation = root_.find_known("elevation")) out_.cell_elevation_m = elevation->number();
    }

    void read_members() {
        out_.temp_c = table_.temperature_members(kTemperatureUnits);
        if (out_.temp_c.size() < 2)
            table_.hourly().fail(fmt::format("holds {} members; an ensemble has more", out_.temp_c.size()));
    }

    void read_layers() {
        out_.cloud_fraction = checked(table_.column(kCloud, kShareUnits), kShareBounds);
        out_.wind_m_per_s = checked(table_.column(kWind, kSpeedUnits), kWindBounds);
        out_.gust_m_per_s = checked(by_beginning(table_.column(kGust, kSpeedUnits)), kGustBounds);
        out_.snow_mm_per_h = checked(by_beginning(table_.column(kSnow, kDepthUnits)), kSnowBounds);
        const auto water_mm = checked(by_beginning(table_.column(kWater, kDepthUnits)), kWaterBounds);
        const auto code = by_beginning(table_.column(kCode, kCodeUnits));
        read_thunder(code);
        read_glaze(water_mm, code);
    }

    /// A code without thunder does not say that there is none: outside some regions it is never given.
    void read_thunder(const std::vector<double>& code) {
        for (const double c : code)
            out_.thunder_probability.push_back(is_thunder(c) ? kThunderWhenNamed : kNotKnown);
    }

    void read_glaze(const std::vector<double>& water_mm, const std::vector<double>& code) {
        for (std::size_t i = 0; i < water_mm.size(); ++i) {
            const bool freezing = !code.empty() && is_freezing(code[i]);
            out_.ice_mm_per_h.push_back(freezing ? water_mm[i]
                                                 : glaze_not_forecast(out_.temp_c.front()[i], water_mm[i]));
        }
    }

    std::vector<double> checked(std::vector<double> series, const ServiceBounds& bounds) const {
        check_bounds(table_.hourly(), table_.span(), series, bounds);
        return series;
    }

    JsonValue root_;
    OpenMeteoTable table_;
    Outlook out_;
};

/// Index behind the object or text that begins at `at`; the size of the text when it has no end.
std::size_t end_of_object(std::string_view text, std::size_t at) {
    int depth = 0;
    bool quoted = false;
    for (; at < text.size(); ++at) {
        const char c = text[at];
        if (quoted) {
            if (c == '\\') ++at;
            if (c == '"') quoted = false;
        } else if (c == '"') {
            quoted = true;
        } else if (c == '{' || c == '[') {
            ++depth;
        } else if (c == '}' || c == ']') {
            if (--depth == 0) return at + 1;
        }
    }
    return text.size();
}

}  // namespace

Outlook parse_open_meteo(const std::string& name, const std::string& text, Basis basis, Instant fetched) {
    const JsonAnswer answer(name, text);
    if (answer.root().is_array()) answer.root().fail("is for several places; expected one");
    Outlook outlook = AnswerReader(answer.root()).read(basis);
    outlook.source = kOpenMeteoName;
    outlook.origin = name;
    outlook.issued = fetched;
    outlook.attributions.emplace_back("Weather data by Open-Meteo.com (CC BY 4.0), https://open-meteo.com/");
    return outlook;
}

std::vector<std::string_view> split_open_meteo(const std::string& name, std::string_view text,
                                               std::size_t count) {
    constexpr std::string_view kBlank = " \t\r\n";
    std::vector<std::string_view> parts;
    const std::size_t first = text.find_first_not_of(kBlank);
    if (first == std::string_view::npos || text[first] != '[') {
        parts.push_back(text);  // one object, or something that is refused when it is parsed
    } else {
        if (end_of_object(text, first) == text.size() && text[text.find_last_not_of(kBlank)] != ']')
            throw WeatherError(fmt::format("{}: it is cut short: the list of places does not end", name));
        for (std::size_t at = text.find('{', first); at < text.size();) {
            const std::size_t end = end_of_object(text, at);
            parts.push_back(text.substr(at, end - at));
            at = text.find('{', end);
        }
    }
    if (parts.size() != count)
        throw WeatherError(
            fmt::format("{}: it holds {} places; {} were asked for", name, parts.size(), count));
    return parts;
}

}  // namespace mildway::weather
