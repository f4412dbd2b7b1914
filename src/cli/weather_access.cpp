#include "weather_access.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/places/census.hpp"
#include "mildway/places/gazetteer.hpp"
#include "mildway/places/open_meteo_finder.hpp"
#include "mildway/weather/live.hpp"
#include "mildway/weather/nws.hpp"
#include "mildway/weather/recorded.hpp"

#include <chrono>

namespace mildway::cli {

namespace {

/// Without a home (a bare cron, say) the copies are kept beside the workspace.
std::filesystem::path cache_folder(const Console& console, const planning::Workspace& workspace) {
    return console.cache_folder.empty() ? workspace.folder / "weather-cache" : console.cache_folder;
}

}  // namespace

WeatherAccess::WeatherAccess(const std::string& recorded_folder, const CommonOptions& common,
                             const planning::Workspace& workspace, Instant now, Console& console)
    : console_(console) {
    for (const auto& file : workspace.weather.gazetteers) {
        finders_.push_back(std::make_unique<places::Gazetteer>(file));
    }
    if (recorded_folder.empty()) {
        connect(common, workspace, now);
    } else {
        source_ = std::make_unique<weather::RecordedSource>(recorded_folder);
    }
}

WeatherAccess::~WeatherAccess() {
    // file times are those of the computer, whatever the console's clock says
    if (cache_ && transport_) cache_->prune(date::floor<seconds>(std::chrono::system_clock::now()), {});
}

void WeatherAccess::connect(const CommonOptions& common, const planning::Workspace& workspace, Instant now) {
    const weather::WeatherSetup& setup = workspace.weather;
    cache_ = std::make_unique<fetch::DiskCache>(cache_folder(console_, workspace));
    if (!common.offline) {
        fetch::CurlOptions options = console_.network;
        options.user_agent = setup.user_agent((workspace.folder / "workspace.json").string());
        transport_ = std::make_unique<fetch::CurlTransport>(options);
    }
    fetcher_ = std::make_unique<fetch::Fetcher>(transport_.get(), cache_.get(), console_.clock,
                                                [this](const std::string& sentence) { remark(sentence); });
    source_ = std::make_unique<weather::LiveSource>(fetcher_.get(), setup, workspace.climate_stations, now);
    finders_.push_back(std::make_unique<places::CensusFinder>(fetcher_.get(), setup.census_url));
    if (setup.open_meteo_allowed) {
        finders_.push_back(std::make_unique<places::OpenMeteoFinder>(fetcher_.get(), setup.open_meteo.api_key,
                                                                     setup.open_meteo_places_url));
    }
    const auto nws = std::make_shared<weather::NwsSource>(fetcher_.get(), setup.nws_url);
    zone_of_ = [nws](const Place& place) -> std::string {
        if (!nws->covers(place)) return "";
        try {
            return nws->point(place).zone;
        } catch (const WeatherError&) {
            return "";  // the caller asks for --zone then
        }
    };
}

void WeatherAccess::remark(const std::string& sentence) {
    const std::lock_guard lock(remarking_);
    if (remarked_.insert(sentence).second) console_.err << "note: " << sentence << "\n";
}

planning::PlaceHelp WeatherAccess::place_help() const {
    planning::PlaceHelp help;
    for (const auto& finder : finders_) help.finders.push_back(finder.get());
    help.zone_of = zone_of_;
    return help;
}

}  // namespace mildway::cli
