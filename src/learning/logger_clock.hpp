// The clock of a logger that follows a time zone, or does not.
#pragma once

#include "mildway/base/time.hpp"

#include <string>
#include <vector>

namespace mildway::learning {

/// A civil time and the line it stands on.
struct CivilTime {
    int line = 0;
    date::local_seconds when;
};

/// Median of the steps that go forward; 0 when there are none.
[[nodiscard]] seconds typical_step(const std::vector<CivilTime>& times);

/// Civil times of `zone` as instants. Times of the hour that comes twice in autumn are told apart by their
/// order: where they go back once, the second hour begins; where they do not, the one of the two is taken
/// that leaves no step longer than one and a half typical ones. Throws InputError, naming line and zone, when
/// that leaves both or neither, and for times of the hour that is skipped in spring.
[[nodiscard]] std::vector<Instant> to_instants(const std::string& file, const std::vector<CivilTime>& times,
                                               const date::time_zone& zone);

}  // namespace mildway::learning
