#include "mildway/weather/recorded.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/files.hpp"
#include "mildway/weather/judging.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::weather {

namespace {

constexpr std::size_t kLargestFile = 8u << 20;

std::vector<std::filesystem::path> json_files(const std::filesystem::path& folder) {
    std::error_code error;
    std::vector<std::filesystem::path> files;
    for (std::filesystem::directory_iterator entry(folder, error), end; !error && entry != end;
         entry.increment(error)) {
        if (entry->path().extension() == ".json") files.push_back(entry->path());
    }
    if (error) {
        throw WeatherError(fmt::format("{}: the folder of recorded forecasts cannot be read: {}",
                                       folder.string(), error.message()));
    }
    std::sort(files.begin(), files.end());
    return files;
}

}  // namespace

RecordedSource::RecordedSource(std::filesystem::path folder) : folder_(std::move(folder)) {
    const auto files = json_files(folder_);
    if (files.empty()) {
        throw WeatherError(
            fmt::format("{}: the folder of recorded forecasts holds no *.json", folder_.string()));
    }
    for (const auto& file : files) {
        try {
            gridpoints_.push_back(parse_gridpoint(file.string(), read_file(file, kLargestFile)));
        } catch (const Error& unusable) {
            unusable_.push_back({file.filename().string(), unusable.what()});
        }
    }
}

std::string RecordedSource::name() const {
    return fmt::format("recorded forecasts in {}", folder_.string());
}

Outlook RecordedSource::outlook(const Place& place) const {
    const Gridpoint* latest = nullptr;
    for (const Gridpoint& candidate : gridpoints_) {
        if (!candidate.contains(place)) continue;
        if (latest == nullptr || candidate.outlook.issued > latest->outlook.issued) latest = &candidate;
    }
    if (latest != nullptr) {
        Outlook found = latest->outlook;
        judge(found, place);
        for (const Unusable& file : unusable_) {
            // which cell it is for cannot be known, so it may be the newer word on this one
            found.findings.push_back(
                fmt::format("a forecast file beside it cannot be used: {}", file.reason));
        }
        return found;
    }

    std::string message =
        fmt::format("{}: no recorded forecast is for {} ({}); the {} usable files there are for other cells",
                    folder_.string(), place.name, format_coordinates(place), gridpoints_.size());
    for (const Unusable& file : unusable_) message += fmt::format("\n  not usable: {}", file.reason);
    throw WeatherError(message);
}

}  // namespace mildway::weather
