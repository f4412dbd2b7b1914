#include "mildway/base/json_answer.hpp"
#include "mildway/weather/nws.hpp"

#include "nws_problem.hpp"

#include <fmt/format.h>

namespace mildway::weather {

namespace {

std::string text_or_nothing(const JsonValue& object, std::string_view key) {
    const auto member = object.find_known(key);
    return member ? std::string(member->text()) : "";
}

std::string nearby_town(const JsonValue& properties) {
    const auto relative = properties.find_known("relativeLocation");
    const auto town = relative ? relative->find_known("properties") : std::nullopt;
    if (!town) return "";
    const std::string city = text_or_nothing(*town, "city");
    const std::string state = text_or_nothing(*town, "state");
    return city.empty() || state.empty() ? city : fmt::format("{}, {}", city, state);
}

}  // namespace

NwsPoint parse_nws_point(const std::string& name, const std::string& text) {
    const JsonAnswer answer(name, text);
    const JsonValue properties = properties_of(answer.root(), "a point of the service");
    NwsPoint point;
    const JsonValue link = properties.at("forecastGridData");
    if (!link.is_null()) point.gridpoint_url = link.text();  // null at sea, where there is no grid
    point.zone = text_or_nothing(properties, "timeZone");
    point.marine = text_or_nothing(properties, "type") == "marine";  // absent before 2026
    point.nearby = nearby_town(properties);
    return point;
}

}  // namespace mildway::weather
