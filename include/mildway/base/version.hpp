// Which mildway this is.
#pragma once

#include <string_view>

namespace mildway {

/// "0.1.0", as CMakeLists.txt has it.
[[nodiscard]] std::string_view version();

}  // namespace mildway
