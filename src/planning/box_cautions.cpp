#include "mildway/planning/box_cautions.hpp"

#include "mildway/box/air_exchange.hpp"
#include "mildway/box/box_figures.hpp"
#include "mildway/box/films.hpp"
#include "mildway/planning/explain.hpp"

#include <algorithm>
#include <optional>
#include <string>

#include <fmt/format.h>

namespace mildway::planning {

namespace {

constexpr double kPadding_m = 0.010;         // between a warmer and the nearest cup: judgement
constexpr double kLeastOxygen = 0.17;        // of the air in the box: judgement; people are warned at 19.5 %
constexpr double kDewPointOfDampAir_c = 12;  // air over damp paper at 15 to 20 degC: judgement
constexpr double kLeastLift_k = 0.5;         // below it a warmer is to blame for nothing: judgement
constexpr const char* kReckoned = "computed from the recipe (docs/model.md, \"Box\")";

bool lies_against_cups(const Workspace& workspace, const PackedBox& parcel) {
    const auto& types = workspace.supplies.warmers;
    double thickest_m = 0;
    for (const auto& use : parcel.packing->warmers)
        thickest_m = std::max(thickest_m, types.at(use.type).thickness_m);
    return parcel.packing->clearance_m(parcel.contents.count) < thickest_m + kPadding_m;
}

/// To a tenth of a degree, for temperatures that look alike in whole ones.
std::string tenths_text(double temp_c, TemperatureScale scale) {
    const bool celsius = scale == TemperatureScale::celsius;
    return fmt::format("{:.1f} {}", celsius ? temp_c : to_fahrenheit(Celsius(temp_c)), celsius ? "°C" : "°F");
}

/// What is said of a warmer when the air around is at its warmest likely; nothing when the band holds.
std::optional<std::string> too_warm_words(const Workspace& workspace, const PackedBox& parcel,
                                          double around_c, double lift_k) {
    const double could_reach_c = around_c + lift_k;
    const double high_c = parcel.species->safe.high_c;
    if (!(lift_k > kLeastLift_k && could_reach_c > high_c)) return std::nullopt;
    const auto alike = [&](double a_c, double b_c) {
        return temperature_text(a_c, workspace.scale) == temperature_text(b_c, workspace.scale);
    };
    const bool in_tenths = alike(around_c, high_c) || alike(could_reach_c, high_c);
    const auto degrees = [&](double temp_c) {
        return in_tenths ? tenths_text(temp_c, workspace.scale) : temperature_text(temp_c, workspace.scale);
    };
    if (around_c > high_c) {
        return fmt::format(
            "The air around the box alone can be too warm: {} is likely enough on this trip, "
            "these animals bear {}. {}he warmer adds to it: {} in the long run.",
            degrees(around_c), degrees(high_c),
            parcel.packing->coolant ? "T" : "Nothing in the box helps against that, and t",
            degrees(could_reach_c));
    }
    return fmt::format(
        "The warmer can be too much: with {} around the box, which is likely enough on this "
        "trip, it would bring the animals to {} in the long run; they bear {}.",
        degrees(around_c), degrees(could_reach_c), degrees(high_c));
}

void add_warmer_cautions(const Workspace& workspace, const PackedBox& parcel,
                         std::vector<care::Advice>& found) {
    if (parcel.packing->warmers.empty()) return;
    // still air holds the heat best
    const auto figures =
        box::figures_of(*parcel.packing, workspace.supplies.warmers, parcel.contents, box::outside_film(0));
    if (parcel.warmest_around_c) {
        const auto words =
            too_warm_words(workspace, parcel, *parcel.warmest_around_c, figures.warmers->animals_lift_k);
        if (words) found.push_back({*words, kReckoned});
    }
    if (lies_against_cups(workspace, parcel)) {
        found.push_back(
            {"Tight: with these cups the warmer finds no place a finger's width from all of them. "
             "Take a larger box or flatter cups.",
             kReckoned});
    }
    const double oxygen = box::kOxygenShareOfAir * figures.warmers->oxygen_share;
    if (oxygen < kLeastOxygen) {
        found.push_back(
            {fmt::format("Stuffy: at full output the warmer leaves {:.0f} % oxygen in the box (fresh "
                         "air has 21 %). Make more or wider vent holes.",
                         100 * oxygen),
             kReckoned});
    }
}

/// A pack that is too warm for what lies against it, or melts too late to keep anything cool.
void add_warm_pack_caution(const Workspace& workspace, const PackedBox& parcel,
                           std::vector<care::Advice>& found) {
    const auto& use = *parcel.packing->coolant;
    const double high_c = parcel.species->safe.high_c;
    const auto degrees = [&](double temp_c) { return temperature_text(temp_c, workspace.scale); };
    if (use.conditioned_to_c > high_c) {
        found.push_back({fmt::format("The pack, at {}, is warmer than these animals bear ({}): what lies "
                                     "against it is warmer than any figure here.",
                                     degrees(use.conditioned_to_c), degrees(high_c)),
                         kReckoned});
    } else if (use.type.melts_at_c > high_c) {
        found.push_back({fmt::format("The pack melts at {}, warmer than these animals bear ({}): it takes up "
                                     "little warmth before that.",
                                     degrees(use.type.melts_at_c), degrees(high_c)),
                         kReckoned});
    }
}

void add_coolant_cautions(const Workspace& workspace, const PackedBox& parcel,
                          std::vector<care::Advice>& found) {
    if (!parcel.packing->coolant) return;
    const auto& use = *parcel.packing->coolant;
    const double coldest_c = use.conditioned_to_c;  // from then on it takes up heat
    const auto degrees = [&](double temp_c) { return temperature_text(temp_c, workspace.scale); };
    if (coldest_c < parcel.species->safe.low_c) {
        found.push_back(
            {fmt::format("The cold pack, at {}, is colder than these animals bear ({}): what lies "
                         "against it is colder than any figure here.",
                         degrees(coldest_c), degrees(parcel.species->safe.low_c)),
             kReckoned});
    }
    add_warm_pack_caution(workspace, parcel, found);
    if (coldest_c < kDewPointOfDampAir_c) {
        found.push_back({fmt::format("Water will condense on a pack at {}: wrap it in something that drinks.",
                                     degrees(coldest_c)),
                         "dew point of air over damp paper, 12 °C: judgement"});
    }
}

}  // namespace

std::vector<care::Advice> box_cautions(const Workspace& workspace, const PackedBox& parcel) {
    std::vector<care::Advice> found;
    add_warmer_cautions(workspace, parcel, found);
    add_coolant_cautions(workspace, parcel, found);
    return found;
}

std::vector<care::Advice> all_cautions(const Workspace& workspace, const PackedBox& parcel) {
    std::vector<care::Advice> cautions = box_cautions(workspace, parcel);
    const care::Beside beside{!parcel.packing->warmers.empty(), parcel.packing->coolant.has_value()};
    for (auto& usual : workspace.advice.cautions(*parcel.species, beside))
        cautions.push_back(std::move(usual));
    return cautions;
}

}  // namespace mildway::planning
