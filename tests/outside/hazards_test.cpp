// What hazards do to the odds of lateness, against what storms have done to parcels and flights.
#include "mildway/odds/hazards.hpp"

#include "catch.hpp"

#include <algorithm>
#include <stdexcept>
#include <string>

using namespace mildway;
using namespace mildway::odds;

namespace {

/// Chance of lateness of an ordinary night, from published on-time rates of express parcels outside peak
/// weeks, 2018 to 2025: 95 to 99 %.
constexpr transit::LateOdds kOrdinary{0.028, 0.007};

const HazardRule& shipped(const std::string& id) {
    static const auto rules = HazardRules::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/hazards.json"));
    const auto found = std::find_if(rules.all().begin(), rules.all().end(),
                                    [&](const HazardRule& rule) { return rule.id == id; });
    if (found == rules.all().end()) throw std::runtime_error("no rule " + id);
    return *found;
}

double late_when_it_comes(const std::string& id) {
    const HazardRule& rule = shipped(id);
    return mix_hazard(kOrdinary, 1, rule.odds_factor, rule.two_day_share).late();
}

}  // namespace

TEST_CASE("the shipped hazards make as many parcels late as our table of conditions says") {
    // the table was drawn up, with its chances, before this code; two decimals
    const auto [id, late] = GENERATE(table<const char*, double>({{"hub-thunder", 0.07},
                                                                 {"hub-gusts", 0.05},
                                                                 {"hub-fog", 0.045},
                                                                 {"hub-light-snow", 0.08},
                                                                 {"hub-heavy-snow-south", 0.30},
                                                                 {"hub-heavy-snow-north", 0.30},
                                                                 {"hub-ice", 0.52},
                                                                 {"hub-cold", 0.07},
                                                                 {"ends-snow", 0.20},
                                                                 {"destination-blizzard", 0.48},
                                                                 {"ends-hurricane", 0.69}}));
    INFO(id);
    CHECK(late_when_it_comes(id) == Approx(late).margin(0.005));
}

TEST_CASE("freezing rain at the hub is as bad as the ice days on record") {
    // Houston, one ice day: 59 % lost; December 2022: 51 to 63 %
    CHECK(late_when_it_comes("hub-ice") >= 0.51);
    CHECK(late_when_it_comes("hub-ice") <= 0.63);
}

TEST_CASE("a blizzard at the destination is as bad as one on record") {
    // published: 37 to 74 % of parcels on time in the region of a Midwest blizzard
    CHECK(late_when_it_comes("destination-blizzard") >= 1 - 0.74);
    CHECK(late_when_it_comes("destination-blizzard") <= 1 - 0.37);
}

TEST_CASE("heavy snow at an end is as bad as a storm on record") {
    // published: about 80 % of parcels on time in the region hit
    CHECK(late_when_it_comes("ends-snow") == Approx(0.20).margin(0.01));
}
