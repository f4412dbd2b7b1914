// Order numbers as a person sorts them.
#pragma once

#include <string_view>

namespace mildway::orders {

/// "JB-9" before "JB-10"; ASCII letters whatever their case.
[[nodiscard]] bool number_before(std::string_view a, std::string_view b);

}  // namespace mildway::orders
