// Outlooks made by hand.
#pragma once

#include "mildway/weather/outlook.hpp"
#include "mildway/weather/source.hpp"

#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace mildway::testing {

inline Instant made_issue() {
    return *parse_instant("2027-03-01T10:00:00Z");
}

inline Place made_place() {
    return {"Duluth MN", 46.7867, -92.1005, "America/Chicago"};
}

/// The same temperature at every hour, from the hour of issue on.
inline weather::Outlook steady(const std::string& source, double temp_c, int hour_count = 144) {
    weather::Outlook outlook;
    outlook.source = source;
    outlook.origin = source + ".json";
    outlook.issued = made_issue();
    outlook.first_hour = made_issue();
    outlook.temp_c.emplace_back(static_cast<std::size_t>(hour_count), temp_c);
    return outlook;
}

/// A source that says what the test wants, and counts how often it is asked.
class MadeSource : public weather::BatchSource {
public:
    using Says = std::function<weather::Reading(const Place&)>;
    MadeSource(std::string name, Says says) : name_(std::move(name)), says_(std::move(says)) {}

    [[nodiscard]] std::string name() const override { return name_; }
    [[nodiscard]] std::vector<weather::Reading> read(std::span<const Place> places) const override {
        std::vector<weather::Reading> readings;
        for (const Place& place : places) readings.push_back(says_(place));
        *asked += static_cast<int>(places.size());
        return readings;
    }

    std::shared_ptr<int> asked = std::make_shared<int>(0);  ///< outlives the source

private:
    std::string name_;
    Says says_;
};

}  // namespace mildway::testing
