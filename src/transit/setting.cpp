#include "mildway/transit/setting.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::transit {

namespace {

Setting read_setting(const ConfigNode& node) {
    Setting setting;
    setting.name = node.text("name");
    setting.hold_c = node.number("hold_c", {-40, 60});
    setting.hold_spread_k = node.number_or("hold_spread_k", 0, {0, 30});
    setting.follow = node.number("follow", {0, 1});
    if (node.has("heated_to_c")) setting.heated_to_c = node.number("heated_to_c", {-40, 60});
    setting.heated_to_spread_k = node.number_or("heated_to_spread_k", 0, {0, 30});
    setting.sun_lift_k = node.number_or("sun_lift_k", 0, {0, 60});
    setting.sun_lift_spread_k = node.number_or("sun_lift_spread_k", 0, {0, 30});
    setting.lag_hours = node.number_or("lag_hours", 0, {0, 48});
    setting.soak_minutes = node.number_or("soak_minutes", 0, {0, 600});
    if (setting.lag_hours > 0 && setting.soak_minutes > 0) {
        node.fail("soak_minutes",
                  "stands beside 'lag_hours'; expected one of them: a place either was there "
                  "before the parcel or is closed up when it comes");
    }
    setting.sun_on_box_w_per_m2 = node.number_or("sun_on_box_w_per_m2", 0, {0, 1000});
    setting.sun_on_box_spread_w_per_m2 = node.number_or("sun_on_box_spread_w_per_m2", 0, {0, 500});
    setting.air_speed_m_per_s = node.number("air_speed_m_per_s", {0, 20});
    setting.air_speed_factor = node.number_or("air_speed_factor", 1, {1, 5});
    setting.source = node.text("source");
    node.finish();
    return setting;
}

bool holds(const std::vector<Setting>& settings, std::string_view name) {
    return std::any_of(settings.begin(), settings.end(), [&](const Setting& s) { return s.name == name; });
}

}  // namespace

Settings Settings::read(const ConfigNode& node) {
    Settings settings;
    for (const ConfigNode& entry : node.objects("settings")) {
        Setting setting = read_setting(entry);
        if (holds(settings.all_, setting.name)) {
            entry.fail("name", fmt::format("is '{}' a second time; expected each name once", setting.name));
        }
        settings.all_.push_back(std::move(setting));
    }
    for (const char* needed : {"indoors", "vehicle"}) {
        if (!holds(settings.all_, needed)) {
            node.fail("settings",
                      fmt::format("holds no setting called '{}'; every trip begins in it", needed));
        }
    }
    node.finish();
    return settings;
}

std::vector<std::string> Settings::names() const {
    std::vector<std::string> names;
    for (const Setting& setting : all_) names.push_back(setting.name);
    return names;
}

std::size_t Settings::find(std::string_view name) const {
    const auto found =
        std::find_if(all_.begin(), all_.end(), [&](const Setting& s) { return s.name == name; });
    if (found == all_.end()) throw UsageError(unknown_name_message("setting", name, names()));
    return static_cast<std::size_t>(found - all_.begin());
}

}  // namespace mildway::transit
