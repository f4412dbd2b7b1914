// Reading the station files of NCEI's hourly normals.
#include "mildway/base/errors.hpp"
#include "mildway/weather/climate_normals.hpp"

#include "csv.hpp"
#include "plausibility.hpp"
#include "service_values.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>

#include <fmt/format.h>

namespace mildway::weather {

namespace {

constexpr std::size_t kHoursOfYear = 365 * 24;
constexpr date::year kCommonYear{2001};  // any of 365 days
constexpr date::sys_days kNewYear = kCommonYear / 1 / 1;

struct Columns {
    std::size_t station, date, latitude, longitude, elevation, normal, low, high;
    bool tenths;  ///< of degF, in whole numbers (1981-2010); else degF
};

class StationFileReader {
public:
    StationFileReader(const std::string& name, const std::string& text) : name_(name), lines_(text) {}

    HourlyNormals read() {
        if (!lines_.next(fields_)) fail("is empty");
        const Columns columns = find_columns();
        const std::size_t width = fields_.size();
        for (auto* series : {&out_.normal_c, &out_.low_c, &out_.high_c})
            series->assign(kHoursOfYear, kNotKnown);
        std::vector<bool> seen(kHoursOfYear, false);
        std::size_t rows = 0;
        for (; lines_.next(fields_); ++rows) {
            if (fields_.size() != width)
                fail_here(fmt::format("has {} columns; the first line has {}", fields_.size(), width));
            read_station(columns, rows == 0);
            const std::size_t hour = read_date(fields_[columns.date]);
            if (seen[hour]) fail_here(fmt::format("'{}' stands twice", fields_[columns.date]));
            seen[hour] = true;
            read_hour(columns, hour);
        }
        if (rows != kHoursOfYear) fail(fmt::format("holds {} of the {} hours of a year", rows, kHoursOfYear));
        check();
        return std::move(out_);
    }

private:
    [[noreturn]] void fail(const std::string& reason) const {
        throw WeatherError(fmt::format("{}: {}", name_, reason));
    }
    [[noreturn]] void fail_here(const std::string& reason) const {
        fail(fmt::format("line {}: {}", lines_.line(), reason));
    }

    [[nodiscard]] std::optional<std::size_t> find(std::string_view column) const {
        const auto found = std::find(fields_.begin(), fields_.end(), column);
        if (found == fields_.end()) return std::nullopt;
        return static_cast<std::size_t>(found - fields_.begin());
    }
    [[nodiscard]] std::size_t require(std::string_view column) const {
        const auto found = find(column);
        if (!found) fail(fmt::format("line 1: there is no column {}", column));
        return *found;
    }

    [[nodiscard]] Columns find_columns() const {
        Columns columns{require("STATION"),
                        require("DATE"),
                        require("LATITUDE"),
                        require("LONGITUDE"),
                        require("ELEVATION"),
                        require("HLY-TEMP-NORMAL"),
                        require("HLY-TEMP-10PCTL"),
                        require("HLY-TEMP-90PCTL"),
                        false};
        // no column names a unit; those beside the values differ between the two publications
        columns.tenths = find("HLY-TEMP-NORMAL_ATTRIBUTES").has_value();
        if (columns.tenths == find("comp_flag_HLY-TEMP-NORMAL").has_value())
            fail(
                "line 1: it cannot be told whether temperatures are in degF (1991-2020) or tenths of it "
                "(1981-2010)");
        return columns;
    }

    /// A number, or NaN for an empty field and the codes for "no value" (-9999, -7777, ...: one digit
    /// repeated).
    [[nodiscard]] double number(std::size_t column) const {
        const std::string_view text = fields_[column];
        if (text.empty()) return kNotKnown;
        double value = 0;
        const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
        if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value))
            fail_here(fmt::format("column {}: '{}' is not a number", column + 1, text));
        constexpr double kCode = 1111;
        const bool code = value <= -kCode && value >= -9 * kCode && std::fmod(value, kCode) == 0;
        return code ? kNotKnown : value;
    }

    [[nodiscard]] double temperature_c(const Columns& columns, std::size_t column) const {
        const double value = number(column);
        if (!columns.tenths) return (value - 32) / 1.8;
        if (std::isfinite(value) && value != std::floor(value))
            fail_here(fmt::format("column {}: '{}' is no whole number of tenths of a degree", column + 1,
                                  fields_[column]));
        return (value / 10 - 32) / 1.8;
    }

    void read_station(const Columns& columns, bool first) {
        if (!first) {
            if (fields_[columns.station] != out_.station)
                fail_here("is of another station than the lines before");
            return;
        }
        out_.station = std::string(fields_[columns.station]);
        out_.latitude_deg = number(columns.latitude);
        out_.longitude_deg = number(columns.longitude);
        out_.elevation_m = number(columns.elevation);
        if (!(std::abs(out_.latitude_deg) <= 90 && std::abs(out_.longitude_deg) <= 180))
            fail_here("does not say where the station is");
    }

    /// "07-04T15:00:00" as the hour of a year of 365 days.
    [[nodiscard]] std::size_t read_date(std::string_view text) const {
        const auto two_digits = [&](std::size_t at) {
            int value = 99;  // of nothing
            std::from_chars(text.data() + at, text.data() + at + 2, value);
            return value;
        };
        const bool shaped = text.size() == 14 && text[2] == '-' && text[5] == 'T' && text.ends_with(":00:00");
        const Date day = kCommonYear / (shaped ? two_digits(0) : 0) / (shaped ? two_digits(3) : 0);
        const int hour = shaped ? two_digits(6) : 0;
        if (!day.ok() || hour < 0 || hour > 23)
            fail_here(fmt::format("'{}' is no hour of a year of 365 days", text));
        return static_cast<std::size_t>((date::sys_days(day) - kNewYear).count() * 24 + hour);
    }

    void read_hour(const Columns& columns, std::size_t hour) {
        out_.normal_c[hour] = temperature_c(columns, columns.normal);
        out_.low_c[hour] = temperature_c(columns, columns.low);
        out_.high_c[hour] = temperature_c(columns, columns.high);
        if (out_.low_c[hour] > out_.normal_c[hour] || out_.normal_c[hour] > out_.high_c[hour])
            fail_here("the normal is not between the 10th and the 90th percentile");
    }

    void check() const {
        const Hours span{kNewYear, kHoursOfYear};
        const auto& normal_c = out_.normal_c;
        if (std::all_of(normal_c.begin(), normal_c.end(), [](double t) { return std::isnan(t); }))
            fail("holds no temperature");
        if (const std::string fault = impossible_air(span, normal_c); !fault.empty())
            fail(fmt::format("HLY-TEMP-NORMAL: {}", fault));
    }

    const std::string& name_;
    CsvLines lines_;
    std::vector<std::string_view> fields_;
    HourlyNormals out_;
};

}  // namespace

HourlyNormals parse_hourly_normals(const std::string& name, const std::string& text) {
    return StationFileReader(name, text).read();
}

}  // namespace mildway::weather
