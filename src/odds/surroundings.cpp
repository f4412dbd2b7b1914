#include "mildway/odds/surroundings.hpp"

#include "mildway/base/parallel.hpp"
#include "mildway/odds/low_pass.hpp"
#include "mildway/weather/sun.hpp"

#include "remembered_air.hpp"

#include <algorithm>
#include <stdexcept>

namespace mildway::odds {

namespace {

constexpr seconds kQuarter{900};
constexpr double kQuarterHours = 0.25;

using Shares = std::vector<float>;

/// Both kinds of sun at one place from `first` on, quarter by quarter.
struct SunThere {
    Shares level;
    Shares on_box;
};

SunThere sun_there(const weather::PlaceOutlook& there, Instant first, std::size_t count) {
    SunThere sun;
    sun.level.reserve(count);
    sun.on_box.reserve(count);
    for (std::size_t i = 0; i < count; ++i) {
        const Instant when = first + static_cast<int>(i) * kQuarter;
        const double cloud = there.outlook.at(there.outlook.cloud_fraction, date::floor<hours>(when));
        const double level = weather::sun_share(there.place, when, cloud);
        const double clear = level > 0 ? level / weather::sun_elevation_sine(there.place, when) : 0;
        sun.level.push_back(static_cast<float>(level));
        sun.on_box.push_back(static_cast<float>(std::min(clear, 2 * level)));
    }
    return sun;
}

Shares remembered_sun(const Shares& shares, double lag_hours) {
    const LowPass pass(kQuarterHours, lag_hours);
    Shares memory{shares.front()};
    memory.reserve(shares.size());
    double now = static_cast<double>(shares.front());
    for (std::size_t i = 1; i < shares.size(); ++i) {
        now = pass.next(now, static_cast<double>(shares[i - 1]), static_cast<double>(shares[i]));
        memory.push_back(static_cast<float>(now));
    }
    return memory;
}

/// The entry of that lag; nullptr when there is none.
template <class Entry>
const Entry* find_lag(const std::vector<Entry>& entries, double lag_hours) {
    const auto found = std::find_if(entries.begin(), entries.end(),
                                    [=](const Entry& entry) { return entry.lag_hours == lag_hours; });
    return found == entries.end() ? nullptr : &*found;
}

template <class Entry>
const Entry& must_be_there(const Entry* entry) {
    if (entry == nullptr) throw std::logic_error("surroundings were not prepared for a setting at a place");
    return *entry;
}

}  // namespace

SunSeries::SunSeries(Instant first, std::vector<float> shares) : first_(first), shares_(std::move(shares)) {}

float SunSeries::at(Instant when) const {
    const auto into = when - first_;
    const auto quarter = into / kQuarter;
    const auto last = static_cast<std::ptrdiff_t>(shares_.size()) - 1;
    if (into < seconds(0) || quarter >= last)
        throw std::logic_error("the sun is not known for all of a trip");
    const float part = static_cast<float>((into % kQuarter).count()) / static_cast<float>(kQuarter.count());
    const float* here = &shares_[static_cast<std::size_t>(quarter)];
    return here[0] + part * (here[1] - here[0]);
}

Surroundings::Surroundings(std::span<const weather::PlaceOutlook> places,
                           const weather::SampledWeather& sampled, const transit::Settings& settings,
                           std::span<const Meeting> meetings, TimeSpan trips, unsigned threads)
    : at_(places.size()) {
    double longest_lag =
        0;  // of all settings: where the memory of the sun begins does not depend on the trips
    for (const transit::Setting& setting : settings.all())
        longest_lag = std::max(longest_lag, setting.lag_hours);
    const Instant first = date::floor<hours>(trips.from) - hours(reach_hours(longest_lag));
    const auto quarters = static_cast<std::size_t>((date::ceil<hours>(trips.until) - first) / kQuarter) + 2;

    parallel_for(places.size(), threads, [&](std::size_t place) {
        AtPlace& at = at_[place];
        SunThere sun;
        for (const Meeting& met : meetings) {
            if (met.place != place) continue;
            const transit::Setting& setting = settings.at(met.setting);
            const double lag = setting.lag_hours;
            if (sun.level.empty() && (setting.has_sun_lift() || setting.has_sun_on_box()))
                sun = sun_there(places[place], first, quarters);
            if (setting.has_sun_lift() && find_lag(at.sun, lag) == nullptr)
                at.sun.push_back({lag, SunSeries(first, remembered_sun(sun.level, lag))});
            if (setting.has_sun_on_box() && !at.sun_on_box) at.sun_on_box.emplace(first, sun.on_box);
            if (lag > 0 && setting.follow > 0 && find_lag(at.air, lag) == nullptr)
                at.air.push_back({lag, remembered_air(places[place].outlook, sampled, place, lag)});
        }
    });
}

const SunSeries& Surroundings::sun(std::size_t place, double lag_hours) const {
    return must_be_there(find_lag(at_.at(place).sun, lag_hours)).series;
}

const SunSeries& Surroundings::sun_on_box(std::size_t place) const {
    const auto& series = at_.at(place).sun_on_box;
    return must_be_there(series ? &*series : nullptr);
}

std::span<const float> Surroundings::air(std::size_t place, double lag_hours) const {
    return must_be_there(find_lag(at_.at(place).air, lag_hours)).temp_c;
}

}  // namespace mildway::odds
