#include "weather_lines.hpp"

#include "layout.hpp"
#include "words.hpp"

#include <algorithm>
#include <set>

#include <fmt/format.h>

namespace mildway::reports {

std::string age_line(const std::vector<planning::PlaceWeather>& weather, Instant now) {
    if (weather.empty()) return "";
    const auto oldest = std::min_element(weather.begin(), weather.end(),
                                         [](const auto& a, const auto& b) { return a.issued < b.issued; });
    const std::string places = "Weather of " + counted(weather.size(), "place", "places");
    if (oldest->issued > now) return places + ".\n";
    return paragraph("", fmt::format("{}; the oldest, of {}, is {:.0f} h old.", places, oldest->place,
                                     in_hours(now - oldest->issued)));
}

std::string credit_lines(const std::vector<planning::PlaceWeather>& weather) {
    std::set<std::string> lines;
    for (const auto& there : weather) lines.insert(there.attributions.begin(), there.attributions.end());
    std::string text = lines.empty() ? "" : "\n";
    for (const auto& line : lines) text += paragraph("", line);
    return text;
}

}  // namespace mildway::reports
