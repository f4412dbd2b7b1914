// Chances, money and days in words, the same in every report of a plan.
#pragma once

#include "mildway/base/time.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace mildway::reports {

/// "3 in 100", or "under 1 in 1000" with a cautious eye on what sampling cannot see.
[[nodiscard]] std::string chance_text(double chance);

/// "1 order", "3 orders".
[[nodiscard]] std::string counted(std::size_t n, const char* one, const char* many);

/// "Comfortable" for "comfortable"; small letters of ASCII alone.
[[nodiscard]] std::string capitalised(std::string words);

/// "$55", "$12.60", "-$2"; cents only where there are any.
[[nodiscard]] std::string usd_text(double usd);

/// Days in order, told together: "Sat 6, Sun 7, Sat 13 Mar"; three and more in a row as "Mon 1 to Fri 5 Mar".
/// The month stands where it ends.
[[nodiscard]] std::string days_text(const std::vector<Date>& days);

}  // namespace mildway::reports
