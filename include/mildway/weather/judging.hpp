// Is an outlook what it says it is, for this place and now?
#pragma once

#include "mildway/weather/outlook.hpp"

#include <string>

namespace mildway::weather {

/// Air cools by 6.5 K for each km upward (ICAO standard atmosphere, Doc 7488).
inline constexpr double kLapseKPerM = 0.0065;

/// Holds an outlook against the place it is to be used for. Corrects its temperatures for the difference in
/// height where both heights are known, and adds to `findings`, or sets `doubt` where it must not be used: a
/// grid cell far off, a height that is not the place's, a point at sea, a series that stops early or knows
/// nothing. To be called once for each outlook as it comes from its source.
void judge(Outlook& outlook, const Place& place);

/// Why an outlook must not be used now, as a sentence without its full stop: its own doubt, issued later than
/// now (a wrong clock somewhere), or longer ago than `stale_after`. Empty when it may be used.
[[nodiscard]] std::string doubt_about(const Outlook& outlook, const Place& place, Instant now,
                                      hours stale_after);

}  // namespace mildway::weather
