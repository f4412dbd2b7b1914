// Words for the plan of a week, shared by its text and its JSON.
#pragma once

#include "mildway/care/rules.hpp"
#include "mildway/weekly/week.hpp"

#include <string>
#include <vector>

namespace mildway::reports {

/// "no parcel more on Tue 2 Mar (6 a day)", "no box 'small-19' left", "another trip to the counter on ...".
[[nodiscard]] std::string limit_words(const weekly::Week& week, const planning::Limit& limit);
[[nodiscard]] std::string limits_words(const weekly::Week& week, const std::vector<planning::Limit>& limits);

/// Why an order waits, a sentence each without full stop: days and reasons, then limits.
[[nodiscard]] std::vector<std::string> waiting_words(const weekly::Week& week,
                                                     const weekly::WeekOrder& order);

/// Why a better way was given up; empty when none was.
[[nodiscard]] std::string given_up_words(const weekly::Week& week, const weekly::WeekOrder& order);

/// How a plan stands that is kept: "tight, cold at the last check".
[[nodiscard]] std::string kept_words(const weekly::KeptPlan& kept);

/// "Tue 2, Wed 3 Mar (arrival Wed 3, Thu 4 Mar)", "no day".
[[nodiscard]] std::string proposed_words(const weekly::WeekOrder& order, Instant now);

/// What goes wrong beside the temperature if the chosen shipment comes a service day late: a weekend or
/// holiday that it falls into, a day that does not suit the buyer; empty when nothing does.
[[nodiscard]] std::string late_trouble_words(const weekly::WeekOrder& order);

/// The rules of an order's lane and species.
[[nodiscard]] std::vector<care::Rule> rules_of(const planning::Workspace& workspace,
                                               const weekly::WeekOrder& order);

}  // namespace mildway::reports
