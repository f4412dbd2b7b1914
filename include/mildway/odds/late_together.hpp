// Parcels of the same night are late together: what one night holds up, it holds up for many.
//
// One-factor Gaussian model: a night has a badness Z, a parcel a luck e of its own, both standard normal, and
// the parcel is late when sqrt(r) Z + sqrt(1 - r) e exceeds the quantile of its own chance of being late.
// Each parcel's chances stay what they are; r, `together`, only says how much they hang together: 0 not at
// all, 1 the likeliest to be late are always the first to be. Docs: docs/model.md, "Late together".
#pragma once

#include "mildway/base/random.hpp"
#include "mildway/base/time.hpp"
#include "mildway/transit/service.hpp"

#include <cstdint>
#include <span>
#include <string>
#include <string_view>

namespace mildway::odds {

/// Names a night at a hub for LateDraws. `night` is the date on which it begins, by the clocks of the place;
/// `place` the name of the hub, or of the counter where a service passes no hub.
[[nodiscard]] std::string night_key(std::string_view place, Date night);

/// How many service days one parcel is late in each scenario, for planning several parcels of one night
/// together; a plan of one parcel weighs its late arrivals by their chances instead (odds/assess.hpp). A
/// value is a function of seed, night, parcel and scenario, and of nothing else: any batch, in any order, on
/// any thread gives the same.
class LateDraws {
public:
    /// Parcels with the same `night` (night_key) share its badness; `parcel` tells them apart, and two of the
    /// same night and name share their luck. `together` is r, 0 to 1. Throws std::invalid_argument outside.
    LateDraws(std::uint64_t seed, std::string_view night, std::string_view parcel, double together);

    /// days[s] = 0, 1 or 2 service days (2: two or more), in scenario first_scenario + s. `first_scenario`
    /// must be a multiple of 4.
    void days(transit::LateOdds odds, std::uint32_t first_scenario, std::span<std::uint8_t> days) const;

private:
    RandomStream night_;
    RandomStream parcel_;
    float of_night_;
    float of_parcel_;
};

/// That two parcels of the same night are both late (by one day or more), within 1e-9. r from 0 to 1.
[[nodiscard]] double chance_both_late(transit::LateOdds a, transit::LateOdds b, double together);

/// That `a` is late when `b` of the same night is known to be late. That of `a` alone when `b` never is.
[[nodiscard]] double chance_late_given_other(transit::LateOdds a, transit::LateOdds b, double together);

/// Correlation of "a is late" and "b is late", yes 1 and no 0; 0 when one of them is certain.
[[nodiscard]] double lateness_correlation(transit::LateOdds a, transit::LateOdds b, double together);

/// "if this parcel is late, another of the same night is late, too, with a chance of 21 in 100"; `odds` are
/// those of both.
[[nodiscard]] std::string late_together_sentence(transit::LateOdds odds, double together);

}  // namespace mildway::odds
