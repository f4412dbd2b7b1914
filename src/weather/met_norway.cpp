#include "mildway/weather/met_norway.hpp"

#include "mildway/base/errors.hpp"

#include "asking.hpp"

#include <cmath>

#include <fmt/format.h>

namespace mildway::weather {

namespace {

// Its terms: at most 4 decimals, whole metres (-500 to 9000), fewer than 20 requests a second in all.
// One at a time stays below that with any answer that takes 50 ms or more.
constexpr int kAtOnce = 1;
constexpr double kLowestM = -500;
constexpr double kHighestM = 9000;

std::string query(const Place& place) {
    std::string text = fmt::format("lat={:.4f}&lon={:.4f}", place.latitude_deg, place.longitude_deg);
    // without it the service takes the height of its own coarse grid
    if (place.elevation_m && *place.elevation_m >= kLowestM && *place.elevation_m <= kHighestM)
        text += fmt::format("&altitude={:d}", std::lround(*place.elevation_m));
    return text;
}

std::string why_nothing(const Place& place, const fetch::Got& got) {
    switch (got.status) {
        case 403:
            return fmt::format(
                "{} refuses the way this program names itself (answered 403): check that "
                "\"contact\" in workspace.json is an address of yours",
                kMetNorwayName);
        case 404:
        case 422:
            return fmt::format("{} has no forecast for {} ({}): it answered {}", kMetNorwayName, place.name,
                               format_coordinates(place), got.status);
        default:
            return no_answer(kMetNorwayName, got);
    }
}

Reading reading_of(const Place& place, const std::string& url, const fetch::Got& got) {
    constexpr int kDeprecated = 203;  // with an ordinary body
    if (!got.good()) return {std::nullopt, why_nothing(place, got)};
    try {
        Outlook outlook = parse_met_norway(url, got.body);
        outlook.fetched = got.fetched;
        if (got.status == kDeprecated) {
            outlook.findings.push_back(fmt::format(
                "{} says that it will end the version of its service that is asked", kMetNorwayName));
        }
        note_kept_copy(outlook, place, got.trouble, got.fetched);
        return {std::move(outlook), ""};
    } catch (const WeatherError& error) {
        return {std::nullopt, error.what()};
    }
}

}  // namespace

MetNorwaySource::MetNorwaySource(const fetch::Fetcher* fetcher, std::string base_url)
    : fetcher_(fetcher), base_url_(std::move(base_url)) {}

std::vector<Reading> MetNorwaySource::read(std::span<const Place> places) const {
    std::vector<fetch::Wanted> wanted;
    for (const Place& place : places) {
        fetch::Wanted one;
        one.url = fmt::format("{}/weatherapi/locationforecast/2.0/complete?{}", base_url_, query(place));
        one.at_once = kAtOnce;
        one.check = [url = one.url](const std::string& body) {
            static_cast<void>(parse_met_norway(url, body));
        };
        wanted.push_back(std::move(one));
    }
    const std::vector<fetch::Got> got = fetcher_->get(wanted);
    std::vector<Reading> readings;
    for (std::size_t i = 0; i < places.size(); ++i)
        readings.push_back(reading_of(places[i], wanted[i].url, got[i]));
    return readings;
}

}  // namespace mildway::weather
