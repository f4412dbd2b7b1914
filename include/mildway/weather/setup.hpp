// What a workspace says about where its weather comes from.
#pragma once

#include "mildway/base/config_reader.hpp"
#include "mildway/base/time.hpp"
#include "mildway/weather/open_meteo.hpp"

#include <filesystem>
#include <string>
#include <vector>

namespace mildway::weather {

/// A live source, by its name in workspace.json.
enum class SourceKind { nws, met_norway, open_meteo, open_meteo_ensemble };

[[nodiscard]] std::string_view source_id(SourceKind kind);

/// What is used for hours that no forecast reaches.
enum class Beyond { nothing, climate_normals, past_years };

/// "weather" in workspace.json. Only stale_after_hours is required there.
struct WeatherSetup {
    std::string contact;  ///< an e-mail or web address of the user's; empty when none is given
    std::vector<SourceKind> sources{SourceKind::nws, SourceKind::met_norway};  ///< the first is preferred
    bool ask_all = true;    ///< false: the first that has a usable answer is enough
    hours stale_after{12};  ///< a forecast issued longer ago is not used
    Beyond beyond = Beyond::climate_normals;
    std::vector<std::filesystem::path> gazetteers;
    bool open_meteo_allowed = false;  ///< opted in: with a key, or the use declared non-commercial
    OpenMeteoHosts open_meteo;
    std::string nws_url = "https://api.weather.gov";
    std::string met_norway_url = "https://api.met.no";
    std::string census_url = "https://geocoding.geo.census.gov";
    std::string normals_url = "https://www.ncei.noaa.gov";
    std::string open_meteo_places_url = "https://geocoding-api.open-meteo.com";

    /// Paths in it are beside the workspace's files. Throws InputError: an unknown source, Open-Meteo without
    /// its terms being met, a host that is neither https nor this computer, a key file others can read.
    [[nodiscard]] static WeatherSetup read(const ConfigNode& node, const std::filesystem::path& folder);

    /// How the program names itself to the services. Throws InputError naming the workspace's file when no
    /// contact is given: they ask for one and block who gives none.
    [[nodiscard]] std::string user_agent(const std::string& file) const;
};

/// Why `contact` will not do, as a clause; empty when it will. Addresses reserved for examples will not.
[[nodiscard]] std::string contact_fault(const std::string& contact);

}  // namespace mildway::weather
