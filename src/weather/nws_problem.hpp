// Error answers of the US National Weather Service (application/problem+json, RFC 9457).
#pragma once

#include "mildway/base/json_answer.hpp"

#include <string>
#include <string_view>

namespace mildway::weather {

/// What an error answer says; all parts are empty when it is none.
struct NwsProblem {
    std::string kind;  ///< last part of "type": "InvalidPoint"
    std::string title;
    std::string detail;

    /// "Unexpected Problem (An unexpected problem has occurred.)"
    [[nodiscard]] std::string words() const;
};

[[nodiscard]] NwsProblem read_nws_problem(const JsonValue& root);

/// As above from a body that may be anything, a page of HTML too.
[[nodiscard]] NwsProblem parse_nws_problem(std::string_view body);

/// "properties" of a GeoJSON feature. Throws WeatherError: an error answer in its own words, or that this is
/// no such thing as `wanted`.
[[nodiscard]] JsonValue properties_of(const JsonValue& root, std::string_view wanted);

}  // namespace mildway::weather
