#include "logger_units.hpp"

#include "mildway/base/errors.hpp"

#include <algorithm>
#include <string_view>

#include <fmt/format.h>

namespace mildway::learning {

namespace {

// Judgement: half of a log's readings above 45 degC is no air that a parcel or a room has; half of them below
// 32 degF, in a box, would be frost, while 0 to 32 are quite usual as degrees Celsius.
constexpr double kTooHotForCelsius = 45;
constexpr double kFrostInFahrenheit = 32;
constexpr double kTooColdForEither = 0;
constexpr double kTooHotForEither = 140;

std::string_view name_of(TempUnit unit) {
    return unit == TempUnit::celsius ? "Celsius" : "Fahrenheit";
}

double median(std::vector<double>& values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

bool is_believable(TempUnit unit, double middle, bool in_a_box) {
    if (unit == TempUnit::celsius) return middle <= kTooHotForCelsius;
    return !in_a_box || middle >= kFrostInFahrenheit || middle < kTooColdForEither;
}

std::string guess(double middle) {
    if (middle > kTooHotForEither) return "neither in degrees Celsius nor in Fahrenheit those of a parcel";
    if (middle > kTooHotForCelsius) return "probably degrees Fahrenheit";
    if (middle < kFrostInFahrenheit) return "probably degrees Celsius";
    return "warm in degrees Celsius or cold in degrees Fahrenheit";
}

std::string advice(double middle) {
    if (middle > kTooHotForEither) return "expected degrees Celsius or Fahrenheit; kelvins are not read";
    return fmt::format("say {}", middle > kTooHotForCelsius    ? "--unit fahrenheit"
                                 : middle < kFrostInFahrenheit ? "--unit celsius"
                                                               : "--unit celsius or --unit fahrenheit");
}

}  // namespace

TempUnit settle_unit(const std::string& file, const UnitClaim& claim, std::vector<double> values,
                     std::vector<std::string>& findings) {
    const auto [low, high] = std::minmax_element(values.begin(), values.end());
    const std::string range = fmt::format("{:.1f} to {:.1f}", *low, *high);
    const double middle = median(values);
    if (claim.by_hand) {
        if (claim.said && *claim.said != *claim.by_hand) {
            findings.push_back(
                fmt::format("the file says degrees {} of the column '{}'; degrees {} are used, as --unit "
                            "says",
                            name_of(*claim.said), claim.column, name_of(*claim.by_hand)));
        }
        if (!is_believable(*claim.by_hand, middle, claim.in_a_box)) {
            findings.push_back(
                fmt::format("the column '{}' runs from {}: hard to believe in degrees {}, as --unit says",
                            claim.column, range, name_of(*claim.by_hand)));
        }
        return *claim.by_hand;
    }
    if (!claim.said) {
        throw InputError(file, "", 0,
                         fmt::format("the unit of the column '{}' is not said; its values, {}, are {}: {}",
                                     claim.column, range, guess(middle), advice(middle)));
    }
    if (!is_believable(*claim.said, middle, claim.in_a_box)) {
        throw InputError(
            file, "", 0,
            fmt::format("the column '{}' is said to be in degrees {}, but its values, {}, are {}: {}, or "
                        "--unit {} if it is so",
                        claim.column, name_of(*claim.said), range, guess(middle), advice(middle),
                        *claim.said == TempUnit::celsius ? "celsius" : "fahrenheit"));
    }
    return *claim.said;
}

}  // namespace mildway::learning
