#include "open_meteo_request.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/weather/open_meteo.hpp"

#include "open_meteo_answer.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::weather {

namespace {

constexpr double kOtherPlaceKm = 60;

std::string coordinates_query(std::span<const Place> places) {
    std::string latitudes;
    std::string longitudes;
    for (const Place& place : places) {
        const char* comma = latitudes.empty() ? "" : ",";
        latitudes += fmt::format("{}{:.4f}", comma, place.latitude_deg);
        longitudes += fmt::format("{}{:.4f}", comma, place.longitude_deg);
    }
    return fmt::format("latitude={}&longitude={}", latitudes, longitudes);
}

std::string address_of(const OpenMeteoProduct& product, const Place& place) {
    return fmt::format("{}?{}", product.address, coordinates_query(std::span(&place, 1)));
}

void check_answer(const OpenMeteoProduct& product, const std::string& url, const std::string& body,
                  std::size_t count) {
    std::string fault;
    for (const std::string_view part : split_open_meteo(url, body, count)) {
        try {
            static_cast<void>(parse_open_meteo(product.address, std::string(part), product.basis, Instant{}));
            return;  // a fault of some other place is told there
        } catch (const WeatherError& error) {
            if (fault.empty()) fault = error.what();
        }
    }
    throw WeatherError(fault);
}

fetch::Wanted make_wanted(const OpenMeteoProduct& product, std::span<const Place> places) {
    fetch::Wanted wanted;
    wanted.url = fmt::format("{}?{}{}", product.address, coordinates_query(places), product.query);
    if (!product.api_key.empty()) wanted.secret_query = "&apikey=" + product.api_key;
    wanted.at_once = 1;
    wanted.fresh_for = product.fresh_for;
    wanted.keep_for = product.keep_for;
    wanted.check = [&product, url = wanted.url, count = places.size()](const std::string& body) {
        check_answer(product, url, body, count);
    };
    return wanted;
}

}  // namespace

OpenMeteoParts ask_open_meteo(const fetch::Fetcher& fetcher, std::span<const OpenMeteoProduct> products,
                              std::span<const Place> places) {
    std::vector<fetch::Wanted> wanted;
    std::vector<std::size_t> counts;
    for (const OpenMeteoProduct& product : products) {
        for (std::size_t first = 0; first < places.size(); first += product.places_at_a_time) {
            counts.push_back(std::min(product.places_at_a_time, places.size() - first));
            wanted.push_back(make_wanted(product, places.subspan(first, counts.back())));
        }
    }
    OpenMeteoParts out;
    out.got = fetcher.get(wanted);
    for (std::size_t w = 0; w < wanted.size(); ++w) {
        const fetch::Got& got = out.got[w];
        std::vector<std::string_view> texts(counts[w]);
        if (got.good()) texts = split_open_meteo(wanted[w].url, got.body, counts[w]);
        for (const std::string_view text : texts) {
            const std::size_t place = out.parts.size() % places.size();
            const std::size_t product = out.parts.size() / places.size();
            out.parts.push_back({address_of(products[product], places[place]), text, &got});
        }
    }
    return out;
}

void refuse_other_place(const Outlook& outlook, const Place& place) {
    const Place cell{"cell", *outlook.cell_latitude_deg, *outlook.cell_longitude_deg, ""};
    const double apart_km = distance_km(cell, place);
    if (apart_km > kOtherPlaceKm)
        throw WeatherError(fmt::format("{}: the answer is for a point {:.0f} km away from {}", outlook.origin,
                                       apart_km, place.name));
}

}  // namespace mildway::weather
