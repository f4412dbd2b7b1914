// Asking Open-Meteo for many places at a time.
#pragma once

#include "mildway/fetch/fetcher.hpp"
#include "mildway/weather/outlook.hpp"

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace mildway::weather {

/// What is asked for, places apart.
struct OpenMeteoProduct {
    std::string address;  ///< host and path, "https://api.open-meteo.com/v1/forecast"
    std::string query;    ///< "&hourly=temperature_2m&..."
    std::string api_key;
    Basis basis = Basis::forecast;
    std::size_t places_at_a_time = 50;
    seconds fresh_for{3600};
    seconds keep_for{14 * 86400};
};

/// One place's part of what was got.
struct OpenMeteoPart {
    std::string address;    ///< for messages: that of a request for this place alone
    std::string_view text;  ///< empty when there is none
    const fetch::Got* got = nullptr;
};

/// What was got, and each place's part of it.
struct OpenMeteoParts {
    std::vector<fetch::Got> got;
    std::vector<OpenMeteoPart> parts;  ///< one for each place of each product: [product * places + place]
};

/// Asks for all products and places: the service works on one request of a caller at a time. Answers are kept
/// only when every place's part of them can be read.
[[nodiscard]] OpenMeteoParts ask_open_meteo(const fetch::Fetcher& fetcher,
                                            std::span<const OpenMeteoProduct> products,
                                            std::span<const Place> places);

/// Throws WeatherError when an answer is for a point further from the place than any grid is wide: the parts
/// are not in the order of the request, or of another one.
void refuse_other_place(const Outlook& outlook, const Place& place);

}  // namespace mildway::weather
