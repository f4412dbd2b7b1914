// What a sheet reads from the assessment that was kept with a choice.
#pragma once

#include <optional>
#include <string>

namespace mildway::reports {

struct ChosenFigures {
    std::string recipe;                      ///< whole_recipe of the packing as it was; empty: not told
    std::string basis;                       ///< of the weather: "forecast"; empty: not told
    std::optional<double> warmest_around_c;  ///< air around the box, 95 of 100
};

/// From the JSON of option_json.hpp. What is not there stays empty; so does everything of a document that
/// cannot be read.
[[nodiscard]] ChosenFigures read_figures(const std::string& document);

}  // namespace mildway::reports
