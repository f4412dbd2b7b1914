#include "us_states.hpp"

#include <algorithm>
#include <array>
#include <cctype>

namespace mildway::places {

namespace {

struct State {
    std::string_view abbreviation;
    std::string_view name;
};

// USPS Publication 28, appendix B.
constexpr std::array<State, 51> kStates{{
    {"AL", "Alabama"},        {"AK", "Alaska"},         {"AZ", "Arizona"},
    {"AR", "Arkansas"},       {"CA", "California"},     {"CO", "Colorado"},
    {"CT", "Connecticut"},    {"DE", "Delaware"},       {"DC", "District of Columbia"},
    {"FL", "Florida"},        {"GA", "Georgia"},        {"HI", "Hawaii"},
    {"ID", "Idaho"},          {"IL", "Illinois"},       {"IN", "Indiana"},
    {"IA", "Iowa"},           {"KS", "Kansas"},         {"KY", "Kentucky"},
    {"LA", "Louisiana"},      {"ME", "Maine"},          {"MD", "Maryland"},
    {"MA", "Massachusetts"},  {"MI", "Michigan"},       {"MN", "Minnesota"},
    {"MS", "Mississippi"},    {"MO", "Missouri"},       {"MT", "Montana"},
    {"NE", "Nebraska"},       {"NV", "Nevada"},         {"NH", "New Hampshire"},
    {"NJ", "New Jersey"},     {"NM", "New Mexico"},     {"NY", "New York"},
    {"NC", "North Carolina"}, {"ND", "North Dakota"},   {"OH", "Ohio"},
    {"OK", "Oklahoma"},       {"OR", "Oregon"},         {"PA", "Pennsylvania"},
    {"RI", "Rhode Island"},   {"SC", "South Carolina"}, {"SD", "South Dakota"},
    {"TN", "Tennessee"},      {"TX", "Texas"},          {"UT", "Utah"},
    {"VT", "Vermont"},        {"VA", "Virginia"},       {"WA", "Washington"},
    {"WV", "West Virginia"},  {"WI", "Wisconsin"},      {"WY", "Wyoming"},
}};

constexpr std::array<std::string_view, 5> kTerritories{"AS", "GU", "MP", "PR", "VI"};

std::string capitals_of(std::string_view text) {
    std::string capitals(text);
    std::transform(capitals.begin(), capitals.end(), capitals.begin(),
                   [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
    return capitals;
}

}  // namespace

std::string us_state_name(std::string_view abbreviation) {
    const std::string capitals = capitals_of(abbreviation);
    const auto* const found = std::find_if(
        kStates.begin(), kStates.end(), [&](const State& state) { return state.abbreviation == capitals; });
    return found == kStates.end() ? "" : std::string(found->name);
}

std::string us_region(std::string_view abbreviation) {
    const std::string capitals = capitals_of(abbreviation);
    const bool known = !us_state_name(capitals).empty() ||
                       std::find(kTerritories.begin(), kTerritories.end(), capitals) != kTerritories.end();
    return known ? "US-" + capitals : "";
}

std::string us_region_named(std::string_view state_name) {
    const auto* const found = std::find_if(kStates.begin(), kStates.end(),
                                           [&](const State& state) { return state.name == state_name; });
    return found == kStates.end() ? "" : "US-" + std::string(found->abbreviation);
}

}  // namespace mildway::places
