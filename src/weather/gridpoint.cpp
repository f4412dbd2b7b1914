#include "mildway/weather/gridpoint.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/weather/nws.hpp"

#include "gridpoint_document.hpp"
#include "hourly.hpp"
#include "plausibility.hpp"
#include "service_values.hpp"

#include <algorithm>
#include <cmath>
#include <span>
#include <stdexcept>

#include <fmt/format.h>

namespace mildway::weather {

namespace {

constexpr std::array kTemperatureUnits{ServiceUnit{"degC", 1}, ServiceUnit{"degF", 1 / 1.8, -32 / 1.8}};
constexpr std::array kShareUnits{ServiceUnit{"percent", 0.01}};
constexpr std::array kSpeedUnits{ServiceUnit{"km_h-1", 1 / 3.6}, ServiceUnit{"m_s-1", 1}};
constexpr std::array kDepthUnits{ServiceUnit{"mm", 1}};

/// One answer on its way to an outlook.
class Conversion {
public:
    Conversion(const std::string& name, GridpointDocument document)
        : name_(name), document_(std::move(document)), span_(temperature_span()) {}

    [[nodiscard]] Gridpoint gridpoint() {
        Gridpoint out;
        Outlook& outlook = out.outlook;
        outlook.source = kNwsName;
        outlook.origin = name_;
        outlook.basis = Basis::forecast;
        outlook.issued = issued();
        outlook.first_hour = span_.first;
        outlook.temp_c.push_back(temperature());
        outlook.cloud_fraction = instant_layer(Layer::sky_cover, kShareUnits, kShareBounds);
        outlook.wind_m_per_s = instant_layer(Layer::wind_speed, kSpeedUnits, kWindBounds);
        outlook.gust_m_per_s = instant_layer(Layer::wind_gust, kSpeedUnits, kGustBounds);
        outlook.snow_mm_per_h = total_layer(Layer::snowfall, kSnowBounds);
        outlook.ice_mm_per_h = total_layer(Layer::ice, kIceBounds);
        outlook.thunder_probability = instant_layer(Layer::thunder, kShareUnits, kShareBounds);
        outlook.fog_probability = fog();
        outlook.findings = temperature_gaps(span_, outlook.temp_c.front());
        outlook.cell_elevation_m = document_.elevation_m;
        out.cell = cell();
        tell_middle(out);
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

    std::vector<double> fog() {
        try {
            sort_samples(document_.fog.samples);
        } catch (const std::invalid_argument& error) {
            fail("weather", error.what());
        }
        return values_at(span_, document_.fog.samples);
    }

    Instant issued() const {
        if (document_.update_time.empty())
            fail("updateTime", "is missing, so the age of the forecast is not known");
        const auto when = parse_instant(document_.update_time);
        if (!when)
            fail("updateTime", fmt::format("'{}' is not a time with its offset", document_.update_time));
        return *when;
    }

    void convert(Layer layer, std::span<const ServiceUnit> units) {
        LayerDocument& document = layer_document(layer);
        std::string_view unit = bare_unit(document.unit);
        if (unit.empty() && layer == Layer::thunder) unit = "percent";  // the service names none for this one
        const auto known =
            std::find_if(units.begin(), units.end(), [&](const ServiceUnit& u) { return u.name == unit; });
        if (known == units.end()) fail(layer, unknown_unit(document.unit, units));
        for (Sample& sample : document.samples) sample.value = known->to_ours(sample.value);
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

    std::vector<double> instant_layer(Layer layer, std::span<const ServiceUnit> units,
                                      const ServiceBounds& bounds) {
        prepare(layer, units);
        return checked(layer, values_at(span_, layer_document(layer).samples), bounds);
    }

    std::vector<double> total_layer(Layer layer, const ServiceBounds& bounds) {
        prepare(layer, kDepthUnits);
        return checked(layer, hourly_rates(span_, layer_document(layer).samples), bounds);
    }

    void prepare(Layer layer, std::span<const ServiceUnit> units) {
        if (layer_document(layer).samples.empty()) return;  // absent and empty layers name no unit
        convert(layer, units);
        sort(layer);
    }

    std::vector<double> checked(Layer layer, std::vector<double> series, const ServiceBounds& bounds) const {
        const std::string fault = beyond_bounds(span_, series, bounds);
        if (!fault.empty()) fail(layer, fault);
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

    /// The mean of the corners; a cell may lie across the date line.
    static void tell_middle(Gridpoint& gridpoint) {
        if (gridpoint.cell.empty()) return;
        const Gridpoint::Vertex first = gridpoint.cell.front();
        double north = 0;
        double east = 0;
        for (std::size_t i = 1; i < gridpoint.cell.size(); ++i) {  // the last corner is the first again
            north += gridpoint.cell[i].latitude_deg - first.latitude_deg;
            east += std::remainder(gridpoint.cell[i].longitude_deg - first.longitude_deg, 360.0);
        }
        const auto corners = static_cast<double>(gridpoint.cell.size() - 1);
        gridpoint.outlook.cell_latitude_deg = first.latitude_deg + north / corners;
        gridpoint.outlook.cell_longitude_deg = std::remainder(first.longitude_deg + east / corners, 360.0);
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
