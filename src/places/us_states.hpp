// The states by their postal abbreviations.
#pragma once

#include <string>
#include <string_view>

namespace mildway::places {

/// "Minnesota" for "MN" or "mn" (USPS abbreviations of the 50 states and the District of Columbia); empty for
/// anything else.
[[nodiscard]] std::string us_state_name(std::string_view abbreviation);

/// "US-MN" for "MN" or "mn" (ISO 3166-2 takes the same letters), of the same and of the five territories;
/// empty for anything else.
[[nodiscard]] std::string us_region(std::string_view abbreviation);

/// "US-MN" for "Minnesota"; empty for anything else.
[[nodiscard]] std::string us_region_named(std::string_view state_name);

}  // namespace mildway::places
