#include "mildway/weather/climate_normals.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/weather/judging.hpp"

#include "asking.hpp"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <map>

#include <fmt/format.h>

namespace mildway::weather {

namespace {

constexpr seconds kFreshFor{180 * 86400};  // normals are made anew every ten years
constexpr seconds kKeepFor{200 * 86400};   // as long as the cache keeps anything
/// An airport may lie this far from where a list made by hand puts it.
constexpr double kListErrorKm = 30;
/// Worth a word: the place's weather is not quite the station's.
constexpr double kWorthSayingKm = 30;

Place place_of(const ClimateStation& station) {
    return {station.name, station.latitude_deg, station.longitude_deg, ""};
}

/// The hour of a year of 365 days, on the zone's standard time all year. 29 February takes the hours of the
/// 28th.
std::size_t hour_of_year(Instant when, seconds standard_offset) {
    const Instant civil = when + standard_offset;
    const date::sys_days day = date::floor<date::days>(civil);
    const Date date(day);
    auto day_of_year = (day - date::sys_days(date.year() / 1 / 1)).count();
    const bool from_29_february = date.year().is_leap() && day_of_year >= 31 + 28;
    if (from_29_february) --day_of_year;
    return static_cast<std::size_t>(day_of_year * 24 + (civil - day) / hours(1));
}

/// The offset of a northern zone in mid-January of the year, when no clock there is on summer time.
seconds standard_offset(const date::time_zone& zone, Instant when) {
    const Date day(date::floor<date::days>(when));
    return zone.get_info(date::sys_days(day.year() / 1 / 15)).offset;
}

Outlook make_outlook(const HourlyNormals& normals, const Place& place, Instant from, Instant to) {
    const date::time_zone& zone = find_zone(place.zone);
    const bool heights_known = place.elevation_m && std::isfinite(normals.elevation_m);
    const double lapse_k = heights_known ? kLapseKPerM * (normals.elevation_m - *place.elevation_m) : 0;
    Outlook outlook;
    outlook.basis = Basis::climate;
    outlook.first_hour = date::floor<hours>(from);
    outlook.climate_from = outlook.first_hour;
    outlook.temp_c.emplace_back();
    for (Instant hour = outlook.first_hour; hour <= date::ceil<hours>(to); hour += hours(1))
        outlook.temp_c.front().push_back(normals.normal_c[hour_of_year(hour, standard_offset(zone, hour))] +
                                         lapse_k);
    return outlook;
}

/// Throws WeatherError unless the file is that of the station, where the list has it.
void check_station(const HourlyNormals& normals, const ClimateStation& station, const std::string& url) {
    if (normals.station != station.id)
        throw WeatherError(fmt::format("{}: it is of station {}", url, normals.station));
    const Place said{station.name, normals.latitude_deg, normals.longitude_deg, ""};
    const double apart_km = distance_km(said, place_of(station));
    if (apart_km > kListErrorKm)
        throw WeatherError(
            fmt::format("{}: the station lies at {}, {:.0f} km from where climate_stations.json has {}", url,
                        format_coordinates(said), apart_km, station.name));
}

/// A station's file as it came: its normals, or why there are none.
struct StationFile {
    std::optional<HourlyNormals> normals;
    std::string reason;
    fetch::Got got;
    std::string url;
};

StationFile read_file_of(const ClimateStation& station, std::string url, fetch::Got got) {
    StationFile file{std::nullopt, "", std::move(got), std::move(url)};
    if (!file.got.good()) {
        file.reason = no_answer(kNormalsName, file.got);
        return file;
    }
    try {
        HourlyNormals normals = parse_hourly_normals(file.url, file.got.body);
        check_station(normals, station, file.url);
        file.normals = std::move(normals);
    } catch (const WeatherError& error) {
        file.reason = error.what();
    }
    return file;
}

Reading reading_of(const StationFile& file, const ClimateStation& station, const Place& place, Instant from,
                   Instant to) {
    if (!file.normals) return {std::nullopt, file.reason};
    if (place.zone.empty())
        return {std::nullopt, fmt::format("{}: the clock at {} is not known", kNormalsName, place.name)};
    Outlook outlook = make_outlook(*file.normals, place, from, to);
    outlook.source = kNormalsName;
    outlook.origin = file.url;
    outlook.issued = file.got.fetched;
    outlook.fetched = file.got.fetched;
    if (const double km = distance_km(place, place_of(station)); km > kWorthSayingKm)
        outlook.findings.push_back(
            fmt::format("the climate is that of {}, {:.0f} km away", station.name, km));
    note_kept_copy(outlook, place, file.got.trouble, file.got.fetched);
    return {std::move(outlook), ""};
}

/// Null when none is within reach.
const ClimateStation* nearest_station(const std::vector<ClimateStation>& stations, const Place& place) {
    const ClimateStation* nearest = nullptr;
    double nearest_km = ClimateNormals::kFarthestKm;
    for (const ClimateStation& station : stations) {
        const double km = distance_km(place, place_of(station));
        if (km > nearest_km) continue;
        nearest = &station;
        nearest_km = km;
    }
    return nearest;
}

fetch::Wanted wanted_file(const ClimateStation& station, const std::string& base_url) {
    fetch::Wanted wanted;
    // the path is from memory; a wrong one answers 404 and says so
    wanted.url = fmt::format("{}/data/normals-hourly/1991-2020/access/{}.csv", base_url, station.id);
    wanted.accept = "text/csv";
    wanted.at_once = 2;
    wanted.fresh_for = kFreshFor;
    wanted.keep_for = kKeepFor;
    wanted.check = [url = wanted.url](const std::string& body) {
        static_cast<void>(parse_hourly_normals(url, body));
    };
    return wanted;
}

bool is_station_id(const std::string& id) {
    constexpr std::size_t kLength = 11;  // of the Global Historical Climatology Network
    return id.size() == kLength && std::all_of(id.begin(), id.end(), [](unsigned char c) {
               return std::isupper(c) != 0 || std::isdigit(c) != 0;
           });
}

}  // namespace

std::vector<ClimateStation> read_climate_stations(const ConfigNode& node) {
    std::vector<ClimateStation> stations;
    static_cast<void>(node.text_or("source", ""));
    for (const ConfigNode& entry : node.objects("stations")) {
        ClimateStation station{entry.text("id"), entry.text("name"), entry.number("latitude_deg", {-90, 90}),
                               entry.number("longitude_deg", {-180, 180})};
        if (!is_station_id(station.id))
            entry.fail("id",
                       fmt::format("is '{}'; expected 11 capitals and digits like USW00023044", station.id));
        const bool known = std::any_of(stations.begin(), stations.end(),
                                       [&](const ClimateStation& other) { return other.id == station.id; });
        if (known) entry.fail("id", fmt::format("'{}' stands twice", station.id));
        entry.finish();
        stations.push_back(std::move(station));
    }
    node.finish();
    return stations;
}

ClimateNormals::ClimateNormals(const fetch::Fetcher* fetcher, std::vector<ClimateStation> stations,
                               std::string base_url)
    : fetcher_(fetcher), stations_(std::move(stations)), base_url_(std::move(base_url)) {}

std::vector<Reading> ClimateNormals::read(std::span<const Place> places, Instant from, Instant to) const {
    std::vector<const ClimateStation*> stations;  // of each place; null when none is within reach
    std::map<const ClimateStation*, std::size_t> index;
    std::vector<fetch::Wanted> wanted;
    for (const Place& place : places) {
        stations.push_back(nearest_station(stations_, place));
        if (stations.back() != nullptr && index.try_emplace(stations.back(), wanted.size()).second)
            wanted.push_back(wanted_file(*stations.back(), base_url_));
    }
    std::vector<fetch::Got> got = fetcher_->get(wanted);
    std::map<const ClimateStation*, StationFile> files;
    for (const auto& [station, i] : index)
        files.emplace(station, read_file_of(*station, wanted[i].url, std::move(got[i])));
    std::vector<Reading> readings;
    for (std::size_t i = 0; i < places.size(); ++i) {
        if (stations[i] != nullptr) {
            readings.push_back(reading_of(files.at(stations[i]), *stations[i], places[i], from, to));
        } else {
            readings.push_back(
                {std::nullopt, fmt::format("no station of climate_stations.json is within {:g} km of {}",
                                           kFarthestKm, places[i].name)});
        }
    }
    return readings;
}

}  // namespace mildway::weather
