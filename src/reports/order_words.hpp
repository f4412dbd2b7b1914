// Words on orders that several reports share.
#pragma once

#include "mildway/care/species.hpp"
#include "mildway/orders/order.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace mildway::reports {

/// "Tue 2 to Fri 5 Mar", "from Tue 2 Mar", "by Fri 5 Mar"; "any day".
[[nodiscard]] std::string wanted_text(const std::optional<Date>& earliest, const std::optional<Date>& latest);
[[nodiscard]] std::string wanted_text(const orders::Order& order);
/// "Tue 2 Mar", "Tue 2 to Thu 4 Mar".
[[nodiscard]] std::string range_words(const orders::DateRange& range);
/// "2 x corn snake"
[[nodiscard]] std::string counted_species(std::size_t count, const care::SpeciesTable& species,
                                          const std::string& id);
[[nodiscard]] std::string counted_species(const orders::Order& order, const care::SpeciesTable& species);
/// "unsafe, cold"; without a side where there is no risk to speak of.
[[nodiscard]] std::string verdict_words(Verdict verdict, Side side);
/// "handed over"
[[nodiscard]] std::string state_words(orders::State state);

/// A value of a field on one line; "(none)" when there is none.
[[nodiscard]] std::string shown_value(const std::string& text);

/// Lines of `text`, each after `indent`, broken at blanks, or where a word alone is too long.
[[nodiscard]] std::string lines_of(const std::string& first, const std::string& text);

}  // namespace mildway::reports
