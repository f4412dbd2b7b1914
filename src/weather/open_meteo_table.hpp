// The hourly table of an Open-Meteo answer.
#pragma once

#include "service_values.hpp"

#include <optional>
#include <string>
#include <vector>

namespace mildway::weather {

/// A variable's name and the one it had before 2023; answers use the one they were asked for.
struct OpenMeteoVariable {
    std::string_view name;
    std::string_view old_name;
};

/// Columns of one place, all on the same whole UTC hours. Throws WeatherError for what is no such table.
class OpenMeteoTable {
public:
    explicit OpenMeteoTable(const JsonValue& root);

    [[nodiscard]] const Hours& span() const { return span_; }

    /// The values in our units, NaN where null; empty when there is no such column.
    [[nodiscard]] std::vector<double> column(const OpenMeteoVariable& variable,
                                             std::span<const ServiceUnit> units) const;

    /// The temperature of the control and of members 01, 02, ... of an ensemble, none of which may be
    /// missing.
    [[nodiscard]] std::vector<std::vector<double>> temperature_members(
        std::span<const ServiceUnit> units) const;

    [[nodiscard]] const JsonValue& hourly() const { return hourly_; }

private:
    [[nodiscard]] std::string find_model() const;
    [[nodiscard]] std::string key_of(std::string_view name, std::size_t member) const;
    [[nodiscard]] std::vector<double> read(const JsonValue& values, std::string_view key,
                                           std::span<const ServiceUnit> units) const;
    void read_times(const JsonValue& root);

    JsonValue hourly_;
    JsonValue units_;
    std::string model_;  ///< what stands behind every name; empty when nothing does
    Hours span_;
};

}  // namespace mildway::weather
