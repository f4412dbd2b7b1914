// Two margins apart: what was raised at one is lowered only at the other.
#include "mildway/weekly/standing.hpp"

#include "catch.hpp"

using namespace mildway;
using namespace mildway::weekly;

namespace {

const planning::VerdictRules kLimits{{0.05, 0.002}, {0.30, 0.02}};
const CheckRules kRules{0.7, 1.0, 0.5};

/// An option of which only the chances matter.
planning::Option with_chances(double outside, double harm = 0) {
    planning::Option option;
    option.assessment.all.emplace();
    option.assessment.all->chance_outside.value = outside;
    option.assessment.all->chance_harm.value = harm;
    option.verdict = planning::judge(option.assessment, kLimits);
    return option;
}

planning::Option with_hours(double hours, double error = 0.05) {
    planning::Option option = with_chances(0);
    option.assessment.all->hours_outside = {hours, error};
    return option;
}

planning::Option unknown_option() {
    planning::Option option;
    option.verdict = Verdict::unknown;
    return option;
}

Verdict after(Verdict before, const planning::Option& today) {
    return standing_verdict(before, today, kLimits, kRules);
}

}  // namespace

TEST_CASE("A verdict worsens as soon as a limit is passed") {
    CHECK(after(Verdict::comfortable, with_chances(0.051)) == Verdict::tight);
    CHECK(after(Verdict::comfortable, with_chances(0.01, 0.0021)) == Verdict::tight);
    CHECK(after(Verdict::tight, with_chances(0.31)) == Verdict::unsafe);
    CHECK(after(Verdict::comfortable, with_chances(0.31)) == Verdict::unsafe);
}

TEST_CASE("A verdict betters only below the settling share of the limit") {
    CHECK(after(Verdict::tight, with_chances(0.049)) == Verdict::tight);
    CHECK(after(Verdict::tight, with_chances(0.036)) == Verdict::tight);
    CHECK(after(Verdict::tight, with_chances(0.034)) == Verdict::comfortable);
    CHECK(after(Verdict::unsafe, with_chances(0.29)) == Verdict::unsafe);
    CHECK(after(Verdict::unsafe, with_chances(0.20)) == Verdict::tight);
    CHECK(after(Verdict::unsafe, with_chances(0.04)) == Verdict::tight);
    CHECK(after(Verdict::unsafe, with_chances(0.01)) == Verdict::comfortable);
}

TEST_CASE("A chance that swings inside the margin changes the verdict once at most") {
    Verdict standing = Verdict::comfortable;
    int changes = 0;
    for (int morning = 0; morning < 20; ++morning) {
        const Verdict next = after(standing, with_chances(morning % 2 == 0 ? 0.055 : 0.045));
        if (next != standing) ++changes;
        standing = next;
    }
    CHECK(changes == 1);
    CHECK(standing == Verdict::tight);
}

TEST_CASE("Unknown comes and goes at once") {
    CHECK(after(Verdict::comfortable, unknown_option()) == Verdict::unknown);
    CHECK(after(Verdict::unknown, with_chances(0.049)) == Verdict::comfortable);
    CHECK(after(Verdict::unknown, with_chances(0.2)) == Verdict::tight);
}

TEST_CASE("A verdict that may not be comfortable for other reasons does not settle there") {
    planning::Option climate = with_chances(0.001);
    climate.basis = weather::Basis::climate;
    climate.verdict = planning::judge(climate.assessment, kLimits, climate.basis);
    CHECK(climate.verdict == Verdict::tight);
    CHECK(after(Verdict::tight, climate) == Verdict::tight);
}

TEST_CASE("What another option saves comes with the sampling errors of both") {
    const auto saved = saved_hours(with_hours(2.0, 0.3), with_hours(0.5, 0.4));
    REQUIRE(saved.has_value());
    CHECK(saved->value == Approx(1.5));
    CHECK(saved->error == Approx(0.5));
    CHECK_FALSE(saved_hours(unknown_option(), with_hours(0)).has_value());
    CHECK_FALSE(saved_hours(with_hours(1), unknown_option()).has_value());
}

TEST_CASE("Another day is told only beyond the margin and twice the sampling error") {
    CHECK_FALSE(is_clearly_better(false, {0.99, 0.0}, kRules));
    CHECK(is_clearly_better(false, {1.0, 0.0}, kRules));
    CHECK_FALSE(is_clearly_better(false, {1.5, 0.26}, kRules));
    CHECK(is_clearly_better(false, {1.5, 0.24}, kRules));
}

TEST_CASE("Another day stays told until it saves less than the lower margin") {
    CHECK(is_clearly_better(true, {0.6, 0.5}, kRules));
    CHECK(is_clearly_better(true, {0.5, 0.0}, kRules));
    CHECK_FALSE(is_clearly_better(true, {0.49, 0.0}, kRules));
}

TEST_CASE("A verdict needs a look when it is unsafe unknown or worse than chosen") {
    CHECK_FALSE(needs_look(Verdict::comfortable, Verdict::comfortable));
    CHECK_FALSE(needs_look(Verdict::tight, Verdict::tight));
    CHECK(needs_look(Verdict::tight, Verdict::comfortable));
    CHECK(needs_look(Verdict::unsafe, Verdict::unsafe));
    CHECK(needs_look(Verdict::unknown, Verdict::unknown));
}

TEST_CASE("An option that is new to the breeder is judged with room to the limits") {
    CHECK(settled_verdict(with_chances(0.04), kLimits, kRules) == Verdict::tight);
    CHECK(settled_verdict(with_chances(0.034), kLimits, kRules) == Verdict::comfortable);
    CHECK(settled_verdict(with_chances(0.25), kLimits, kRules) == Verdict::unsafe);
}
