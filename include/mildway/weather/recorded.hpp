// Forecasts kept as files in a folder, for the demo, for tests and for looking back.
#pragma once

#include "mildway/weather/gridpoint.hpp"
#include "mildway/weather/source.hpp"

#include <filesystem>
#include <vector>

namespace mildway::weather {

/// Reads every *.json of a folder as gridpoint data; a place gets the file whose grid cell holds it. A file
/// that cannot be used is reported only when a place would have needed it, or when no other file serves the
/// place.
class RecordedSource : public ForecastSource {
public:
    /// Throws WeatherError when the folder is missing or holds no *.json.
    explicit RecordedSource(std::filesystem::path folder);

    [[nodiscard]] std::string name() const override;
    [[nodiscard]] Outlook outlook(const Place& place) const override;

private:
    struct Unusable {
        std::string file;
        std::string reason;
    };
    std::filesystem::path folder_;
    std::vector<Gridpoint> gridpoints_;
    std::vector<Unusable> unusable_;
};

}  // namespace mildway::weather
