// Animals of an order as text.
#include "mildway/base/csv.hpp"
#include "mildway/base/errors.hpp"
#include "mildway/orders/order_fields.hpp"

#include "order_text.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::orders {

namespace {

constexpr TextLimits kMark{60};
/// As far as boxes and forecasts of this program go; a shell longer than a metre is a slip of units.
constexpr double kSmallestMassG = 0.1;
constexpr double kLargestMassG = 5000;
constexpr double kSmallestShellMm = 5;
constexpr double kLargestShellMm = 1000;

struct Range {
    double low;
    double high;
    const char* unit;
};

/// Takes a figure that is told. Throws UsageError.
void take_figure(std::optional<double>& figure, const std::string& told, const Range& range,
                 bool decimal_comma) {
    const std::string_view text = trimmed(told);
    if (text.empty()) return;
    if (text == "-") {
        figure.reset();
        return;
    }
    const auto value = read_figure(text, decimal_comma);
    if (!value || *value < range.low || *value > range.high)
        throw UsageError(
            fmt::format("'{}' is not a number of {} from {} to {}", told, range.unit, range.low, range.high));
    figure = value;
}

/// "7,5": a decimal comma, or a mark and a mass? A blank after the comma tells that it parts things.
bool has_comma_between_digits(std::string_view text) {
    const auto digit = [](char c) { return c >= '0' && c <= '9'; };
    for (std::size_t i = 1; i + 1 < text.size(); ++i) {
        if (text[i] == ',' && digit(text[i - 1]) && digit(text[i + 1])) return true;
    }
    return false;
}

/// The number before a unit at the end of a text: "31" of "31 g".
std::optional<std::string_view> before_unit(std::string_view text, std::string_view unit) {
    if (!text.ends_with(unit)) return std::nullopt;
    const std::string_view number = trimmed(text.substr(0, text.size() - unit.size()));
    return parse_decimal(number, false) ? std::optional(number) : std::nullopt;
}

std::string animal_text(const Animal& animal) {
    std::string text = animal.mark;
    if (animal.mass_g) text += fmt::format("{}{} g", text.empty() ? "" : " ", *animal.mass_g);
    if (animal.shell_mm) text += fmt::format("{}shell {} mm", text.empty() ? "" : " ", *animal.shell_mm);
    return text;
}

}  // namespace

std::vector<FieldFault> take_animal(Animal& animal, const AnimalTexts& texts, bool decimal_comma) {
    constexpr Range kMass{kSmallestMassG, kLargestMassG, "grams"};
    constexpr Range kShell{kSmallestShellMm, kLargestShellMm, "millimetres"};
    std::vector<FieldFault> faults;
    const std::string mark = tidy_text(texts.mark);
    const std::string fault = text_fault(mark, kMark);
    if (!fault.empty()) {
        faults.push_back({"mark", fault});
    } else if (!mark.empty()) {
        animal.mark = mark == "-" ? "" : mark;
    }
    const auto take = [&](std::optional<double>& figure, const char* field, const std::string& told,
                          const Range& range) {
        try {
            take_figure(figure, told, range, decimal_comma);
        } catch (const UsageError& error) {
            faults.push_back({field, error.what()});
        }
    };
    take(animal.mass_g, "mass_g", texts.mass_g, kMass);
    take(animal.shell_mm, "shell_mm", texts.shell_mm, kShell);
    return faults;
}

std::optional<Animal> one_more_of(const std::vector<Animal>& animals) {
    if (animals.empty()) return Animal{};
    const Animal& first = animals.front();
    const bool alike = std::all_of(animals.begin(), animals.end(), [&](const Animal& one) {
        return one.mass_g == first.mass_g && one.shell_mm == first.shell_mm;
    });
    if (!alike) return std::nullopt;
    return Animal{"", first.mass_g, std::nullopt};
}

AnimalTexts parse_animal(std::string_view text) {
    if (has_comma_between_digits(text))
        throw UsageError(fmt::format(
            "'{}': a decimal comma, or a comma between two things? write 7.5, or a blank after the comma",
            text));
    AnimalTexts texts;
    const auto put = [&](std::string& into, std::string_view piece) {
        if (!into.empty())
            throw UsageError(
                fmt::format("'{}' tells a thing twice; expected such as \"Ash, 31 g, 38 mm\"", text));
        into = piece;
    };
    for (std::string_view rest = text; !rest.empty();) {
        const std::size_t end = std::min(rest.find(','), rest.size());
        const std::string_view piece = trimmed(rest.substr(0, end));
        rest.remove_prefix(std::min(end + 1, rest.size()));
        if (piece.empty()) continue;
        if (const auto shell = before_unit(piece, "mm")) {
            put(texts.shell_mm, *shell);
        } else if (const auto mass = before_unit(piece, "g")) {
            put(texts.mass_g, *mass);
        } else {
            put(texts.mark, piece);
        }
    }
    return texts;
}

std::string animals_text(const std::vector<Animal>& animals) {
    std::string all;
    for (std::size_t i = 0; i < animals.size();) {
        const std::string one = animal_text(animals[i]);
        std::size_t alike = i;
        while (alike < animals.size() && animal_text(animals[alike]) == one) ++alike;
        const std::size_t count = alike - i;
        if (!all.empty()) all += ", ";
        if (one.empty()) {
            all += fmt::format("{}", count);
        } else {
            all += count == 1 ? one : fmt::format("{} x ({})", count, one);
        }
        i = alike;
    }
    return all;
}

}  // namespace mildway::orders
