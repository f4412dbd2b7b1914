// The network, the cache and what a workspace says of both, behind one source of weather.
#pragma once

#include "mildway/fetch/curl_transport.hpp"
#include "mildway/fetch/fetcher.hpp"
#include "mildway/places/finder.hpp"
#include "mildway/planning/destination.hpp"
#include "mildway/planning/workspace.hpp"
#include "mildway/weather/source.hpp"

#include "options.hpp"

#include <memory>
#include <mutex>
#include <set>
#include <string>
#include <vector>

namespace mildway::cli {

/// Live sources by way of the cache; or only the cache (--offline); or a folder of recorded forecasts, which
/// asks nobody. Borrows the console.
class WeatherAccess {
public:
    /// Throws InputError when live weather is wanted and the workspace names no contact.
    WeatherAccess(const std::string& recorded_folder, const CommonOptions& common,
                  const planning::Workspace& workspace, Instant now, Console& console);
    ~WeatherAccess();
    WeatherAccess(const WeatherAccess&) = delete;
    WeatherAccess& operator=(const WeatherAccess&) = delete;
    WeatherAccess(WeatherAccess&&) = delete;
    WeatherAccess& operator=(WeatherAccess&&) = delete;

    [[nodiscard]] const weather::ForecastSource& source() const { return *source_; }
    /// Who can tell where a place is: offline tables first.
    [[nodiscard]] planning::PlaceHelp place_help() const;

private:
    void connect(const CommonOptions& common, const planning::Workspace& workspace, Instant now);
    void remark(const std::string& sentence);

    Console& console_;
    std::mutex remarking_;
    std::set<std::string> remarked_;
    std::unique_ptr<fetch::DiskCache> cache_;
    std::unique_ptr<fetch::Transport> transport_;
    std::unique_ptr<fetch::Fetcher> fetcher_;
    std::unique_ptr<weather::ForecastSource> source_;
    std::vector<std::unique_ptr<places::Finder>> finders_;
    std::function<std::string(const Place&)> zone_of_;
};

}  // namespace mildway::cli
