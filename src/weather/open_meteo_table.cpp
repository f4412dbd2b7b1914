#include "open_meteo_table.hpp"

#include <cmath>
#include <set>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace mildway::weather {

namespace {

constexpr std::string_view kTemperature = "temperature_2m";
constexpr std::size_t kMostHours = 24 * 36;  // ensembles look up to 35 days ahead

JsonValue require_table(const JsonValue& root) {
    if (const auto reason = root.find_known("reason"); reason && reason->is_text())
        root.fail(fmt::format("this is an error answer of the service: {}", reason->text()));
    return root.at("hourly");
}

/// Takes "member07" off the front of a name's rest.
bool take_member(std::string_view& rest) {
    constexpr std::string_view kMember = "member";
    constexpr std::size_t kLength = kMember.size() + 2;
    if (!rest.starts_with(kMember) || rest.size() < kLength) return false;
    rest.remove_prefix(kLength);
    if (rest.starts_with('_')) rest.remove_prefix(1);
    return true;
}

/// "2026-01-29T00:00" on a clock that is `offset` ahead of UTC.
std::optional<Instant> parse_label(std::string_view text, seconds offset) {
    const auto clock = parse_instant(fmt::format("{}:00Z", text));
    if (!clock) return std::nullopt;
    return *clock - offset;
}

}  // namespace

OpenMeteoTable::OpenMeteoTable(const JsonValue& root)
    : hourly_(require_table(root)), units_(root.at("hourly_units")), model_(find_model()) {
    read_times(root);
}

void OpenMeteoTable::read_times(const JsonValue& root) {
    const JsonValue times = hourly_.at("time");
    const JsonValue unit = units_.at("time");
    const bool unix = unit.text() == "unixtime";
    if (!unix && unit.text() != "iso8601")
        unit.fail(fmt::format("the unit is '{}'; expected 'unixtime' or 'iso8601'", unit.text()));
    // Labels of a local clock keep the offset of the time of asking for the whole series, also beyond a
    // change of the clocks: label less offset is UTC throughout.
    const seconds offset(unix ? 0 : std::llround(root.at("utc_offset_seconds").number()));
    std::size_t count = 0;
    times.each([&](const JsonValue& time) {
        const auto when = unix ? std::optional(Instant(seconds(std::llround(time.number()))))
                               : parse_label(time.text(), offset);
        if (!when || date::floor<hours>(*when) != *when) time.fail("is not a whole hour");
        if (count == 0) span_.first = *when;
        if (*when != span_.at(count))
            time.fail("does not follow the hour before: the times are not in order");
        if (++count > kMostHours) time.fail(fmt::format("covers more than {} hours", kMostHours));
    });
    if (count == 0) times.fail("is empty: there is no forecast in it");
    span_.count = count;
}

/// Names may carry a model's behind them: all or none. (Looked for with the temperature: "cloud_cover_low"
/// and "precipitation_probability" are other variables.)
std::string OpenMeteoTable::find_model() const {
    std::set<std::string> models;
    hourly_.each_member([&](std::string_view key, const JsonValue& /*values*/) {
        if (!key.starts_with(kTemperature)) return;
        std::string_view rest = key.substr(kTemperature.size());
        if (rest.starts_with('_')) rest.remove_prefix(1);
        take_member(rest);
        const bool other = rest.starts_with("previous_day") || rest == "spread";
        if (!other) models.emplace(rest);
    });
    if (models.empty() || models.contains("")) return "";
    if (models.size() > 1)
        hourly_.fail(fmt::format("holds temperatures by several models ({}); which is meant cannot be told",
                                 fmt::join(models, ", ")));
    return *models.begin();
}

std::string OpenMeteoTable::key_of(std::string_view name, std::size_t member) const {
    std::string key(name);
    if (member > 0) key += fmt::format("_member{:02d}", member);
    if (!model_.empty()) key += "_" + model_;
    return key;
}

std::vector<double> OpenMeteoTable::read(const JsonValue& values, std::string_view key,
                                         std::span<const ServiceUnit> units) const {
    const ServiceUnit& unit = known_unit(units_.at(key), units);
    std::vector<double> out;
    out.reserve(span_.count);
    values.each([&](const JsonValue& value) { out.push_back(unit.to_ours(value.number_or_nan())); });
    if (out.size() != span_.count)
        values.fail(fmt::format("has {} values for {} hours", out.size(), span_.count));
    return out;
}

std::vector<double> OpenMeteoTable::column(const OpenMeteoVariable& variable,
                                           std::span<const ServiceUnit> units) const {
    for (const std::string_view name : {variable.name, variable.old_name}) {
        const std::string key = key_of(name, 0);
        if (const auto values = hourly_.find(key)) return read(*values, key, units);
    }
    return {};
}

std::vector<std::vector<double>> OpenMeteoTable::temperature_members(
    std::span<const ServiceUnit> units) const {
    constexpr std::size_t kMostMembers = 100;  // the number has two digits
    std::vector<std::vector<double>> members;
    std::size_t next = 0;
    for (std::size_t m = 0; m < kMostMembers; ++m) {
        const std::string key = key_of(kTemperature, m);
        const auto values = hourly_.find(key);
        if (!values) continue;
        if (m != next) hourly_.fail(fmt::format("has no member {:02d} of {}", next, kTemperature));
        members.push_back(read(*values, key, units));
        ++next;
    }
    return members;
}

}  // namespace mildway::weather
