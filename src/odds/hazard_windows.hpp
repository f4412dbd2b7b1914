// When and where weather can hold up a parcel.
#pragma once

#include "mildway/transit/trip.hpp"
#include "mildway/weather/sampled_weather.hpp"

#include <optional>
#include <vector>

namespace mildway::odds {

/// A stretch of time at one place.
struct Window {
    Instant from;
    Instant until;
};

/// A window as the whole hours that it touches, with what the clocks of the place show.
class WindowHours {
public:
    struct Hour {
        Instant when;
        date::local_seconds local;
        [[nodiscard]] double clock_h() const;  ///< hours since midnight
        [[nodiscard]] Date day() const { return Date{date::floor<date::days>(local)}; }
    };

    WindowHours(const Place& place, const Window& window);

    [[nodiscard]] const Window& window() const { return window_; }
    [[nodiscard]] const std::vector<Hour>& all() const { return hours_; }

private:
    Window window_;
    std::vector<Hour> hours_;
};

/// Aircraft and trucks are held up by what the hub has had shortly before, and by what closes it while the
/// last ones leave (judgement).
inline constexpr hours kHubMargin{3};

/// When weather at the role's place can hold up the parcel; none when the trip does not go there. Of the
/// origin: at the counter, where the carrier takes over.
[[nodiscard]] std::optional<Window> window_of(const transit::Trip& trip, transit::Role role);

/// The place at which a stretch ends; none: on the way.
[[nodiscard]] std::optional<transit::Role> end_of(const transit::Stretch& stretch);

/// "in the night of Wed 3 Mar", "on Wed 3 Mar", "between Wed 3 Mar and Fri 5 Mar".
[[nodiscard]] std::string when_of(const Place& place, const Window& window);

}  // namespace mildway::odds
