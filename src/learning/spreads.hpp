// Spreads of what a fit takes as known.
#pragma once

namespace mildway::learning {

/// One spread of the heat inside, judgement: fill, cups and what lies in them weigh what they weigh, and the
/// logger itself is 50 J/K or so more. Wall and warmers can only be told against it.
inline constexpr double kHeatLogSd = 0.12;

}  // namespace mildway::learning
