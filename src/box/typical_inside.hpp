// Where films inside a parcel are taken.
#pragma once

#include "mildway/base/units.hpp"

namespace mildway::box {

/// Mean temperature of a face and the cavity at which an inside film is reckoned (judgement).
inline constexpr Celsius kTypicalInside{20.0};

}  // namespace mildway::box
