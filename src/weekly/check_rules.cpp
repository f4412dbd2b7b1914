#include "mildway/weekly/check_rules.hpp"

namespace mildway::weekly {

CheckRules CheckRules::read(const ConfigNode& node) {
    const CheckRules usual;
    CheckRules rules;
    rules.settles_at = node.number_or("settles_at", usual.settles_at, {0, 1});
    rules.better_from_h = node.number_or("better_from_h", usual.better_from_h, {0.1, 48});
    rules.not_better_below_h = node.number_or("not_better_below_h", usual.not_better_below_h, {0, 48});
    if (rules.not_better_below_h >= rules.better_from_h)
        node.fail("not_better_below_h", "expected less than 'better_from_h', so that there is a margin");
    node.finish();
    return rules;
}

}  // namespace mildway::weekly
