// The states by their postal abbreviations.
#pragma once

#include <string>
#include <string_view>

namespace mildway::places {

/// "Minnesota" for "MN" or "mn" (USPS abbreviations of the 50 states and the District of Columbia); empty for
/// anything else.
[[nodiscard]] std::string us_state_name(std::string_view abbreviation);

}  // namespace mildway::places
