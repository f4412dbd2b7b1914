// The plan of a week, for people and for programs.
#pragma once

#include "mildway/weekly/week.hpp"

#include <string>

namespace mildway::reports {

/// Changes when a field changes its meaning or goes; new fields may appear at any time.
inline constexpr int kWeekVersion = 1;

/// What was done with the plan.
enum class WeekDone { shown, applied, proposed };

[[nodiscard]] std::string week_text(const planning::Workspace& workspace, const weekly::Week& week,
                                    WeekDone done);
[[nodiscard]] std::string week_json(const planning::Workspace& workspace, const weekly::Week& week,
                                    WeekDone done);

/// The days that would suit an order, to be proposed to its buyer: the comfortable ones, else those that are
/// tight.
[[nodiscard]] orders::Proposal proposal_of(const weekly::WeekOrder& order, Instant now);

/// Whether a person should look before this order goes: it waits, is planned tight, or a rule forbids it as
/// far as is known.
[[nodiscard]] bool needs_person(const planning::Workspace& workspace, const weekly::WeekOrder& order);

/// Likewise before one goes whose plan is kept: its day is past, it is not comfortable as told last, or no
/// new choice was found for it.
[[nodiscard]] bool needs_person(const weekly::KeptPlan& kept);

}  // namespace mildway::reports
