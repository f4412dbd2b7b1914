// A sound services.json, and what is said of it after one change.
#pragma once

#include "fixtures.hpp"

#include <nlohmann/json.hpp>

namespace mildway::transit::fixtures {

using nlohmann::ordered_json;

/// One carrier, two templates, one service past one hub with two options.
inline ordered_json sound_file() {
    return ordered_json::parse(R"({
        "carriers": [{"id": "c", "label": "Carrier", "accepts": ["Mon", "Fri"],
                      "delivers": ["Mon", "Tue", "Wed", "Thu", "Fri"], "source": "made up for tests"}],
        "leg_templates": {
            "counter": {"setting": "indoors", "place": "counter",
                        "ends": {"clock": "18:00", "on": "ship-day", "spread_minutes": 20}},
            "way on": {"setting": "aircraft", "from": "hub", "to": "destination",
                       "ends": {"clock": "06:00", "on": "ship-day", "plus_days": 1}}},
        "services": [{
            "id": "s", "carrier": "c", "label": "S", "hubs": ["St. Louis MO"],
            "cut_off": "17:30", "hand_over": "16:30", "transit_service_days": 1, "promised_by": "10:30",
            "legs": [
                {"leg": "counter"},
                {"name": "way to hub", "setting": "trailer", "from": "counter", "to": "hub",
                 "ends": {"clock": "02:00", "on": "ship-day", "plus_days": 1}},
                {"leg": "way on"},
                {"name": "station", "setting": "warehouse", "place": "destination",
                 "ends": {"clock": "08:00", "on": "delivery-day"}},
                {"name": "van", "setting": "vehicle", "place": "destination",
                 "ends": {"clock": "10:00", "on": "delivery-day"}},
                {"name": "doorstep", "setting": "doorstep", "place": "destination",
                 "ends": {"lasts_minutes": 45}}],
            "late": {"one_day": 0.03, "more_days": 0.01, "waits": [
                {"after": "way to hub", "share": 0.7}, {"after": "van", "share": 0.3}]},
            "price": {"base_usd": 38},
            "options": [
                {"id": "held", "label": "held", "extra_usd": -2, "instead_of_legs_from": "van",
                 "legs": [{"name": "shelf", "setting": "indoors", "place": "destination",
                           "ends": {"clock": "15:00", "on": "delivery-day"}}],
                 "collection": {"Mon-Fri": ["08:00", "18:00"]}, "not_with": ["sat"]},
                {"id": "sat", "label": "Sat", "extra_usd": 16, "delivers_also_on": ["Sat"],
                 "only_then": true, "source": "made up too"}],
            "source": "made up for tests"}]})");
}

inline Services read(const ordered_json& file) {
    return Services::read(ConfigNode::parse("services.json", file.dump()), references());
}

inline std::string complaint_about(const ordered_json& file) {
    try {
        (void)read(file);
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

/// The complaint about a file with the value at `pointer` replaced.
inline std::string complaint(const char* pointer, const ordered_json& value) {
    ordered_json file = sound_file();
    file[ordered_json::json_pointer(pointer)] = value;
    return complaint_about(file);
}

inline std::string complaint_without(const char* pointer, const char* key) {
    ordered_json file = sound_file();
    file[ordered_json::json_pointer(pointer)].erase(key);
    return complaint_about(file);
}

}  // namespace mildway::transit::fixtures
