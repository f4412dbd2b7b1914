// Each place asked about once.
#pragma once

#include "mildway/weather/source.hpp"

#include <functional>
#include <map>
#include <mutex>
#include <string>
#include <utility>
#include <vector>

namespace mildway::weather {

/// A source with a memory: what was read of a place is given again without asking. For commands that look at
/// many lanes with places in common. Safe from several threads at once, as far as the source is.
class RememberedSource : public ForecastSource {
public:
    /// Borrows the source.
    explicit RememberedSource(const ForecastSource& source) : source_(&source) {}

    [[nodiscard]] std::string name() const override { return source_->name(); }
    [[nodiscard]] Outlook outlook(const Place& place) const override;
    /// Asks for all that are not known yet side by side.
    [[nodiscard]] std::vector<Reading> read(std::span<const Place> places) const override;
    [[nodiscard]] std::vector<Reading> climate(std::span<const Place> places, Instant from,
                                               Instant to) const override;

private:
    using Key = std::pair<std::string, std::string>;  ///< coordinates and zone; the reach of a climate
    [[nodiscard]] std::vector<Reading> remembered(
        std::map<Key, Reading>& known, std::span<const Place> places, const std::string& reach,
        const std::function<std::vector<Reading>(std::span<const Place>)>& ask) const;

    const ForecastSource* source_;
    mutable std::mutex asking_;
    mutable std::map<Key, Reading> readings_;
    mutable std::map<Key, Reading> climates_;
};

}  // namespace mildway::weather
