// The US National Weather Service, asked over the network (api.weather.gov): free for all uses.
#pragma once

#include "mildway/fetch/fetcher.hpp"
#include "mildway/weather/source.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace mildway::weather {

inline constexpr std::string_view kNwsName = "US National Weather Service";

/// What /points says about a point.
struct NwsPoint {
    std::string gridpoint_url;
    std::string zone;  ///< IANA name
    bool marine = false;
    std::string nearby;  ///< "Wahoo, NE": the nearest named place; empty when it names none
};

/// Throws WeatherError naming the answer.
[[nodiscard]] NwsPoint parse_nws_point(const std::string& name, const std::string& text);

/// Active alerts at a point (GeoJSON features; only status Actual, no cancelled ones). The end of an event is
/// `ends`, else eventEndingTime, else the VTEC code's; when none is given it is open, `expires` being that of
/// the message. Throws WeatherError.
[[nodiscard]] std::vector<Alert> parse_nws_alerts(const std::string& name, const std::string& text);

/// For each place: /points (kept for a week), then gridpoint data and active alerts side by side. A gridpoint
/// that is not found is resolved anew once, since cells are renumbered without notice. A place outside the
/// service's area, a grid that has expired, an answer that cannot be used: a reading with the reason. Alerts
/// that cannot be had are a finding, not a failure.
class NwsSource : public BatchSource {
public:
    /// Borrows the fetcher. `base_url` without a slash at its end.
    explicit NwsSource(const fetch::Fetcher* fetcher, std::string base_url = "https://api.weather.gov");

    [[nodiscard]] std::string name() const override { return std::string(kNwsName); }
    [[nodiscard]] std::vector<Reading> read(std::span<const Place> places) const override;
    /// Roughly the United States and its islands.
    [[nodiscard]] bool covers(const Place& place) const override;

    /// What the service says of a point: its clock, the nearest town. Throws WeatherError.
    [[nodiscard]] NwsPoint point(const Place& place) const;

private:
    const fetch::Fetcher* fetcher_;
    std::string base_url_;
};

}  // namespace mildway::weather
