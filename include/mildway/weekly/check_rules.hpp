// When the morning's check speaks up, and when it is quiet again.
#pragma once

#include "mildway/base/config_reader.hpp"

namespace mildway::weekly {

/// Two margins each, so that nothing flaps: what was raised at the first is only lowered at the second.
struct CheckRules {
    /// A verdict worsens at its limit (workspace.json, "verdicts") and betters only below this share of it.
    double settles_at = 0.7;
    /// Another day is told when it is expected to save this much time outside the safe band, beyond twice the
    /// sampling error; and told no more once it saves less than `not_better_below_h`.
    double better_from_h = 1.0;
    double not_better_below_h = 0.5;

    /// The object "check" of week.json. Throws InputError.
    [[nodiscard]] static CheckRules read(const ConfigNode& node);
};

}  // namespace mildway::weekly
