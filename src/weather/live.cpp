#include "mildway/weather/live.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/parallel.hpp"
#include "mildway/weather/judging.hpp"
#include "mildway/weather/met_norway.hpp"
#include "mildway/weather/nws.hpp"
#include "mildway/weather/pooling.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace mildway::weather {

namespace {

std::unique_ptr<BatchSource> make_source(SourceKind kind, const fetch::Fetcher* fetcher,
                                         const WeatherSetup& setup) {
    switch (kind) {
        case SourceKind::nws:
            return std::make_unique<NwsSource>(fetcher, setup.nws_url);
        case SourceKind::met_norway:
            return std::make_unique<MetNorwaySource>(fetcher, setup.met_norway_url);
        case SourceKind::open_meteo:
            return std::make_unique<OpenMeteoForecast>(fetcher, setup.open_meteo);
        case SourceKind::open_meteo_ensemble:
            break;
    }
    return std::make_unique<OpenMeteoEnsemble>(fetcher, setup.open_meteo);
}

std::vector<std::unique_ptr<BatchSource>> make_sources(const fetch::Fetcher* fetcher,
                                                       const WeatherSetup& setup) {
    std::vector<std::unique_ptr<BatchSource>> sources;
    for (const SourceKind kind : setup.sources) sources.push_back(make_source(kind, fetcher, setup));
    return sources;
}

}  // namespace

LiveSource::LiveSource(const fetch::Fetcher* fetcher, const WeatherSetup& setup,
                       std::vector<ClimateStation> stations, Instant now)
    : LiveSource(make_sources(fetcher, setup), fetcher, setup, std::move(stations), now) {}

LiveSource::LiveSource(std::vector<std::unique_ptr<BatchSource>> sources, const fetch::Fetcher* fetcher,
                       const WeatherSetup& setup, std::vector<ClimateStation> stations, Instant now)
    : setup_(setup),
      now_(now),
      sources_(std::move(sources)),
      normals_(fetcher, std::move(stations), setup.normals_url),
      past_years_(fetcher, setup.open_meteo) {}

std::string LiveSource::name() const {
    std::vector<std::string> names;
    for (const auto& source : sources_) names.push_back(source->name());
    return fmt::format("{}", fmt::join(names, ", "));
}

std::vector<Reading> LiveSource::ask(const BatchSource& source, std::span<const Place> places,
                                     const std::vector<bool>& wanted) const {
    std::vector<Place> asked;
    std::vector<std::size_t> index;
    for (std::size_t i = 0; i < places.size(); ++i) {
        if (!wanted[i] || !source.covers(places[i])) continue;
        asked.push_back(places[i]);
        index.push_back(i);
    }
    std::vector<Reading> readings(places.size());
    if (asked.empty()) return readings;
    std::vector<Reading> said = source.read(asked);
    for (std::size_t i = 0; i < said.size(); ++i) {
        if (said[i].outlook) {
            judge(*said[i].outlook, asked[i]);
            // one that is too old or too new speaks only when no other does
            said[i].outlook->doubt = doubt_about(*said[i].outlook, asked[i], now_, setup_.stale_after);
        }
        readings[index[i]] = std::move(said[i]);
    }
    return readings;
}

std::vector<Reading> LiveSource::read(std::span<const Place> places) const {
    std::vector<std::vector<Reading>> said(sources_.size());
    if (setup_.ask_all) {
        const std::vector<bool> all(places.size(), true);
        parallel_for(sources_.size(), static_cast<unsigned>(sources_.size()),
                     [&](std::size_t s) { said[s] = ask(*sources_[s], places, all); });
    } else {
        std::vector<bool> open(places.size(), true);
        for (std::size_t s = 0; s < sources_.size(); ++s) {
            said[s] = ask(*sources_[s], places, open);
            for (std::size_t i = 0; i < places.size(); ++i) {
                if (said[s][i].outlook && said[s][i].outlook->doubt.empty()) open[i] = false;
            }
        }
    }
    std::vector<Reading> readings;
    for (std::size_t i = 0; i < places.size(); ++i) {
        std::vector<Reading> here;
        for (auto& source : said) here.push_back(std::move(source[i]));
        readings.push_back(combine(places[i], std::move(here)));
    }
    return readings;
}

Reading LiveSource::combine(const Place& place, std::vector<Reading> said) const {
    std::vector<Outlook> outlooks;
    std::vector<std::string> reasons;
    std::vector<Alert> alerts;
    bool alerts_known = false;
    for (Reading& reading : said) {
        if (reading.outlook) {
            outlooks.push_back(std::move(*reading.outlook));
        } else if (!reading.reason.empty()) {
            reasons.push_back(reading.reason);
            alerts.insert(alerts.end(), reading.alerts.begin(), reading.alerts.end());
            alerts_known = alerts_known || reading.alerts_known;
        }
    }
    if (outlooks.empty()) {
        if (reasons.empty())
            reasons.push_back(fmt::format("no source of the workspace covers it ({})", name()));
        return {std::nullopt, fmt::format("there is no weather for {} ({}): {}", place.name,
                                          format_coordinates(place), fmt::join(reasons, "; "))};
    }
    Outlook pooled = pool(std::move(outlooks), place);
    for (const std::string& reason : reasons) pooled.findings.push_back(fmt::format("not used: {}", reason));
    pooled.alerts.insert(pooled.alerts.end(), alerts.begin(), alerts.end());
    pooled.alerts_known = pooled.alerts_known || alerts_known;
    return {std::move(pooled), ""};
}

std::vector<Reading> LiveSource::climate(std::span<const Place> places, Instant from, Instant to) const {
    switch (setup_.beyond) {
        case Beyond::climate_normals:
            return normals_.read(places, from, to);
        case Beyond::past_years:
            return past_years_.read(places, from, to);
        case Beyond::nothing:
            break;
    }
    return std::vector<Reading>(places.size());
}

}  // namespace mildway::weather
