#include "service_values.hpp"

#include "plausibility.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace mildway::weather {

std::string unknown_unit(std::string_view given, std::span<const ServiceUnit> units) {
    std::string expected;
    for (const ServiceUnit& unit : units)
        expected += fmt::format("{}'{}'", expected.empty() ? "" : " or ", unit.name);
    return fmt::format("the unit is '{}'; expected {}", given, expected);
}

const ServiceUnit& known_unit(const JsonValue& named, std::span<const ServiceUnit> units) {
    const std::string_view name = named.text();
    for (const ServiceUnit& unit : units) {
        if (unit.name == name) return unit;
    }
    named.fail(unknown_unit(name, units));
}

std::string beyond_bounds(const Hours& span, const std::vector<double>& series, const ServiceBounds& bounds) {
    for (std::size_t i = 0; i < series.size(); ++i) {
        if (series[i] < 0 || series[i] > bounds.high) {
            return fmt::format("{:g}{} at {} is outside what can be (0 to {:g}{})", series[i], bounds.unit,
                               format_instant(span.at(i)), bounds.high, bounds.unit);
        }
    }
    return "";
}

void check_bounds(const JsonValue& where, const Hours& span, const std::vector<double>& series,
                  const ServiceBounds& bounds) {
    const std::string fault = beyond_bounds(span, series, bounds);
    if (!fault.empty()) where.fail(fault);
}

void check_air(const JsonValue& where, const Hours& span, const std::vector<double>& temp_c) {
    if (std::all_of(temp_c.begin(), temp_c.end(), [](double t) { return std::isnan(t); }))
        where.fail("holds no temperature at any hour");
    const std::string fault = impossible_air(span, temp_c);
    if (!fault.empty()) where.fail(fault);
}

double glaze_not_forecast(double temp_c, double water_mm) {
    return water_mm == 0 || temp_c > kNoGlazeAboveC ? 0 : kNotKnown;
}

}  // namespace mildway::weather
