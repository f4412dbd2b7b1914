#include "met_norway_document.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <initializer_list>
#include <string>

#include <fmt/format.h>

namespace mildway::weather {

namespace {

constexpr std::array kTemperatureUnits{ServiceUnit{"celsius", 1}};
constexpr std::array kShareUnits{ServiceUnit{"%", 0.01}};
constexpr std::array kSpeedUnits{ServiceUnit{"m/s", 1}};
constexpr std::array kDepthUnits{ServiceUnit{"mm", 1}};
constexpr hours kLongest{24 * 16};  // the service looks 9 to 10 days ahead

/// "lightsnowshowers_day" by its parts. The spelling of some codes varies ("lightssleetshowersandthunder"),
/// so they are told by the word in them.
Falling read_symbol(std::string_view symbol) {
    const auto holds = [&](std::string_view word) { return symbol.find(word) != std::string_view::npos; };
    if (holds("snow")) return Falling::snow;
    if (holds("sleet")) return Falling::sleet;
    if (holds("rain")) return Falling::rain;
    const std::string_view sky = symbol.substr(0, symbol.find('_'));
    constexpr std::array kDry{"clearsky", "fair", "partlycloudy", "cloudy", "fog"};
    return std::find(kDry.begin(), kDry.end(), sky) != kDry.end() ? Falling::nothing : Falling::unnamed;
}

/// A variable of the answer, which names each one's unit once.
struct Quantity {
    std::string_view name;
    std::span<const ServiceUnit> units;
    const ServiceUnit* unit = nullptr;  ///< once it has been met
};

class DocumentReader {
public:
    explicit DocumentReader(const JsonAnswer& answer)
        : properties_(answer.root().at("properties")),
          meta_(properties_.at("meta")),
          units_(checked_units()) {
        read_where(answer.root());
        read_updated();
        properties_.at("timeseries").each([&](const JsonValue& step) { read_step(step); });
        if (document_.steps.empty())
            properties_.at("timeseries").fail("is empty: there is no forecast in it");
    }

    MetNorwayDocument take() { return std::move(document_); }

private:
    JsonValue checked_units() const {
        if (const auto error = meta_.find_known("error"))
            error->fail(
                fmt::format("the service says: {}", error->is_text() ? error->text() : "there is an error"));
        return meta_.at("units");
    }

    void read_where(const JsonValue& root) {
        const auto geometry = root.find_known("geometry");
        if (!geometry) return;
        std::vector<double> numbers;
        geometry->at("coordinates").each([&](const JsonValue& number) {
            numbers.push_back(number.number());
        });
        if (numbers.size() < 2 || std::abs(numbers[0]) > 180 || std::abs(numbers[1]) > 90)
            geometry->fail("holds no longitude and latitude");
        document_.longitude_deg = numbers[0];
        document_.latitude_deg = numbers[1];
        if (numbers.size() > 2) document_.elevation_m = numbers[2];
    }

    void read_updated() {
        const JsonValue updated = meta_.at("updated_at");
        const auto when = parse_instant(updated.text());
        if (!when) updated.fail(fmt::format("'{}' is not a time with its offset", updated.text()));
        document_.updated = *when;
    }

    void read_step(const JsonValue& value) {
        MetNorwayStep step;
        step.time = step_time(value.at("time"));
        const JsonValue data = value.at("data");
        if (const auto details = data.at("instant").find_known("details")) {
            read(*details, {{&temperature_, &step.temp_c},
                            {&cloud_, &step.cloud_fraction},
                            {&wind_, &step.wind_m_per_s},
                            {&gust_, &step.gust_m_per_s},
                            {&fog_, &step.fog_fraction}});
        }
        if (const auto hour = data.find_known("next_1_hours")) step.hour = read_ahead(*hour);
        if (const auto hours = data.find_known("next_6_hours")) step.six_hours = read_ahead(*hours);
        document_.steps.push_back(step);
    }

    Instant step_time(const JsonValue& value) const {
        const auto when = parse_instant(value.text());
        if (!when || date::floor<hours>(*when) != *when)
            value.fail(fmt::format("'{}' is not a whole hour with its offset", value.text()));
        const auto& steps = document_.steps;
        if (!steps.empty() && *when <= steps.back().time)
            value.fail(fmt::format("{} comes after {}: the steps are not in order", value.text(),
                                   format_instant(steps.back().time)));
        if (!steps.empty() && *when - steps.front().time >= kLongest)
            value.fail(
                fmt::format("covers more than {} hours; a forecast has at most that", kLongest.count()));
        return *when;
    }

    MetNorwayAhead read_ahead(const JsonValue& value) {
        MetNorwayAhead ahead;
        if (const auto details = value.find_known("details")) {
            read(*details, {{&lowest_, &ahead.lowest_c},
                            {&highest_, &ahead.highest_c},
                            {&water_, &ahead.water_mm},
                            {&thunder_, &ahead.thunder_probability}});
            if (ahead.water_mm < 0) details->fail("holds less precipitation than none");
            if (ahead.lowest_c > ahead.highest_c)
                details->fail(
                    fmt::format("the lowest temperature, {:g} degC, is above the highest, {:g} degC",
                                ahead.lowest_c, ahead.highest_c));
        }
        const auto summary = value.find_known("summary");
        const auto symbol = summary ? summary->find_known("symbol_code") : std::nullopt;
        if (!symbol) return ahead;
        ahead.falling = read_symbol(symbol->text());
        if (std::isnan(ahead.thunder_probability) && symbol->text().find("thunder") != std::string_view::npos)
            ahead.thunder_probability = kThunderWhenNamed;
        return ahead;
    }

    struct Field {
        Quantity* quantity;
        double* value;  ///< stays as it is when the service does not give it
    };

    void read(const JsonValue& details, std::initializer_list<Field> fields) {
        details.each_member([&](std::string_view name, const JsonValue& value) {
            for (const Field& field : fields) {
                if (name != field.quantity->name || value.is_null()) continue;
                if (!std::isnan(*field.value)) value.fail("stands twice; which one is meant cannot be told");
                *field.value = unit_of(*field.quantity).to_ours(value.number());
            }
        });
    }

    const ServiceUnit& unit_of(Quantity& quantity) const {
        if (quantity.unit == nullptr) quantity.unit = &known_unit(units_.at(quantity.name), quantity.units);
        return *quantity.unit;
    }

    Quantity temperature_{"air_temperature", kTemperatureUnits};
    Quantity lowest_{"air_temperature_min", kTemperatureUnits};
    Quantity highest_{"air_temperature_max", kTemperatureUnits};
    Quantity cloud_{"cloud_area_fraction", kShareUnits};
    Quantity wind_{"wind_speed", kSpeedUnits};
    Quantity gust_{"wind_speed_of_gust", kSpeedUnits};
    Quantity fog_{"fog_area_fraction", kShareUnits};
    Quantity water_{"precipitation_amount", kDepthUnits};
    Quantity thunder_{"probability_of_thunder", kShareUnits};
    JsonValue properties_;
    JsonValue meta_;
    JsonValue units_;
    MetNorwayDocument document_;
};

}  // namespace

MetNorwayDocument read_met_norway_document(const JsonAnswer& answer) {
    return DocumentReader(answer).take();
}

}  // namespace mildway::weather
