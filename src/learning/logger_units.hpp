// Whether a column is in degrees Celsius or Fahrenheit, and whether that can be believed.
#pragma once

#include "mildway/learning/logger.hpp"

#include <optional>
#include <string>
#include <vector>

namespace mildway::learning {

/// What is known of one column's unit.
struct UnitClaim {
    std::string column;
    std::optional<TempUnit> said;     ///< by the file
    std::optional<TempUnit> by_hand;  ///< --unit
    bool in_a_box = true;             ///< where frost is not expected
};

/// The unit to read `values` (no NaN, at least one) in. Throws InputError that asks for --unit, with a guess
/// in words, when nobody says it, or when the file says one that its values do not fit. What a person says is
/// used, and told where it contradicts the file or the values.
[[nodiscard]] TempUnit settle_unit(const std::string& file, const UnitClaim& claim,
                                   std::vector<double> values, std::vector<std::string>& findings);

}  // namespace mildway::learning
