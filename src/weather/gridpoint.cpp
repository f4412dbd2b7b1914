#include "mildway/weather/gridpoint.hpp"

#include "mildway/base/errors.hpp"

#include "gridpoint_document.hpp"
#include "hourly.hpp"
#include "plausibility.hpp"

#include <algorithm>
#include <cmath>
#include <span>
#include <stdexcept>

#include <fmt/format.h>

namespace mildway::weather {

namespace {

/// How a unit becomes ours: value * factor + offset.
struct Unit {
    std::string_view name;
    double factor;
    double offset;
};

constexpr std::array kTemperatureUnits{Unit{"degC", 1, 0}, Unit{"degF", 1 / 1.8, -32 / 1.8}};
constexpr std::array kShareUnits{Unit{"percent", 0.01, 0}};
constexpr std::array kSpeedUnits{Unit{"km_h-1", 1 / 3.6, 0}, Unit{"m_s-1", 1, 0}};
constexpr std::array kDepthUnits{Unit{"mm", 1, 0}};

/// What a layer's values may be, in our units.
struct Bounds {
    double high;
    std::string_view unit;
};

constexpr Bounds kShareBounds{1, ""};
constexpr Bounds kWindBounds{
    100, " m/s"};  // the strongest gust ever measured was 113 m/s; a mean wind is far below
constexpr Bounds kSnowBounds{300, " mm/h"};  // judgement; 150 mm in an hour is a record kind of snow squall
constexpr Bounds kIceBounds{50, " mm/h"};    // judgement

/// One answer on its way to an outlook.
class Conversion {
public:
    Conversion(const std::string& name, GridpointDocument document)
        : name_(name), document_(std::move(document)), span_(temperature_span()) {}

    [[nodiscard]] Gridpoint gridpoint() {
        Gridpoint out;
        out.outlook.source = "US National Weather Service";
        out.outlook.origin = name_;
        out.outlook.basis = Basis::forecast;
        out.outlook.issued = issued();
        out.outlook.first_hour = span_.first;
        out.outlook.temp_c.push_back(temperature());
        out.outlook.cloud_fraction = instant_layer(Layer::sky_cover, kShareUnits, kShareBounds);
        out.outlook.wind_m_per_s = instant_layer(Layer::wind_speed, kSpeedUnits, kWindBounds);
        out.outlook.snow_mm_per_h = total_layer(Layer::snowfall, kSnowBounds);
        out.outlook.ice_mm_per_h = total_layer(Layer::ice, kIceBounds);
        out.outlook.thunder_probability = instant_layer(Layer::thunder, kShareUnits, kShareBounds);
        out.outlook.findings = temperature_gaps(span_, out.outlook.temp_c.front());
        out.cell = cell();
        return out;
    }

private:
    [[noreturn]] void fail(std::string_view where, std::string_view reason) const {
        throw WeatherError(fmt::format("{}: {}: {}", name_, where, reason));
    }
    [[noreturn]] void fail(Layer layer, std::string_view reason) const {
        fail(kLayerNames[static_cast<std::size_t>(layer)], reason);
    }

    LayerDocument& layer_document(Layer layer) { return document_.layers[static_cast<std::size_t>(layer)]; }

    Hours temperature_span() {
        LayerDocument& layer = layer_document(Layer::temperature);
        if (layer.samples.empty()) fail(Layer::temperature, "there is no such layer, or it is empty");
        sort(Layer::temperature);
        try {
            return hours_of(layer.samples);
        } catch (const std::invalid_argument& error) {
            fail(Layer::temperature, error.what());
        }
    }

    void sort(Layer layer) {
        try {
            sort_samples(layer_document(layer).samples);
        } catch (const std::invalid_argument& error) {
            fail(layer, error.what());
        }
    }

    Instant issued() const {
        if (document_.update_time.empty())
            fail("updateTime", "is missing, so the age of the forecast is not known");
        const auto when = parse_instant(document_.update_time);
        if (!when)
            fail("updateTime", fmt::format("'{}' is not a time with its offset", document_.update_time));
        return *when;
    }

    void convert(Layer layer, std::span<const Unit> units) {
        LayerDocument& document = layer_document(layer);
        std::string_view unit = document.unit;
        unit.remove_prefix(unit.rfind(':') + 1);                        // "wmoUnit:degC", "unit:degC" or bare
        if (unit.empty() && layer == Layer::thunder) unit = "percent";  // the service names none for this one
        const auto known =
            std::find_if(units.begin(), units.end(), [&](const Unit& u) { return u.name == unit; });
        if (known == units.end()) {
            std::string expected;
            for (const Unit& u : units)
                expected += fmt::format("{}'{}'", expected.empty() ? "" : " or ", u.name);
            fail(layer, fmt::format("the unit is '{}'; expected {}", document.unit, expected));
        }
        for (Sample& sample : document.samples) sample.value = sample.value * known->factor + known->offset;
    }

    std::vector<double> temperature() {
        convert(Layer::temperature, kTemperatureUnits);
        std::vector<double> out = values_at(span_, layer_document(Layer::temperature).samples);
        if (std::all_of(out.begin(), out.end(), [](double t) { return std::isnan(t); })) {
            fail(Layer::temperature, "holds no value at any hour");
        }
        const std::string fault = impossible_air(span_, out);
        if (!fault.empty()) fail(Layer::temperature, fault);
        return out;
    }

    std::vector<double> instant_layer(Layer layer, std::span<const Unit> units, const Bounds& bounds) {
        prepare(layer, units);
        return checked(layer, values_at(span_, layer_document(layer).samples), bounds);
    }

    std::vector<double> total_layer(Layer layer, const Bounds& bounds) {
        prepare(layer, kDepthUnits);
        return checked(layer, hourly_rates(span_, layer_document(layer).samples), bounds);
    }

    void prepare(Layer layer, std::span<const Unit> units) {
        if (layer_document(layer).samples.empty()) return;  // absent and empty layers name no unit
        convert(layer, units);
        sort(layer);
    }

    std::vector<double> checked(Layer layer, std::vector<double> series, const Bounds& bounds) const {
        for (std::size_t i = 0; i < series.size(); ++i) {
            if (series[i] < 0 || series[i] > bounds.high) {
                fail(layer, fmt::format("{:g}{} at {} is outside what can be (0 to {:g}{})", series[i],
                                        bounds.unit, format_instant(span_.at(i)), bounds.high, bounds.unit));
            }
        }
        return series;
    }

    std::vector<Gridpoint::Vertex> cell() {
        if (!document_.cell.empty() && document_.cell.size() < 4) {
            fail("geometry", "the outline of the cell has fewer than four points");
        }
        for (const Gridpoint::Vertex& v : document_.cell) {
            if (!(std::abs(v.latitude_deg) <= 90 && std::abs(v.longitude_deg) <= 180)) {
                fail("geometry", fmt::format("{:g}, {:g} is not a longitude and a latitude", v.longitude_deg,
                                             v.latitude_deg));
            }
        }
        return std::move(document_.cell);
    }

    const std::string& name_;
    GridpointDocument document_;
    Hours span_;
};

/// A corner as seen from a place, degrees east and north.
struct Offset {
    double east;
    double north;
};

double distance_from_edge(const Offset& a, const Offset& b) {
    const double along_east = b.east - a.east;
    const double along_north = b.north - a.north;
    const double length_squared = along_east * along_east + along_north * along_north;
    const double share =
        length_squared > 0
            ? std::clamp(-(a.east * along_east + a.north * along_north) / length_squared, 0.0, 1.0)
            : 0.0;
    return std::hypot(a.east + share * along_east, a.north + share * along_north);
}

/// Whether the ray from the origin to the east crosses the edge.
bool crosses_ray(const Offset& a, const Offset& b) {
    if ((a.north > 0) == (b.north > 0)) return false;
    return a.east + (b.east - a.east) * a.north / (a.north - b.north) > 0;
}

}  // namespace

bool Gridpoint::contains(const Place& place) const {
    constexpr double kOnTheBorderDeg = 1e-4;  // coordinates are rounded to that
    if (cell.empty()) return false;
    // degrees east of the first corner, the short way round, so that a cell may lie across the date line
    const auto east = [&](double longitude_deg) {
        return std::remainder(longitude_deg - cell.front().longitude_deg, 360.0);
    };
    const auto seen = [&](const Vertex& v) {
        return Offset{east(v.longitude_deg) - east(place.longitude_deg), v.latitude_deg - place.latitude_deg};
    };
    bool inside = false;
    for (std::size_t i = 0; i + 1 < cell.size(); ++i) {
        const Offset a = seen(cell[i]);
        const Offset b = seen(cell[i + 1]);
        if (distance_from_edge(a, b) <= kOnTheBorderDeg) return true;
        if (crosses_ray(a, b)) inside = !inside;
    }
    return inside;
}

Gridpoint parse_gridpoint(const std::string& name, const std::string& text) {
    return Conversion(name, read_gridpoint_document(name, text)).gridpoint();
}

}  // namespace mildway::weather
