// Where parcels are handed over, for commands that need no more of a workspace.
#pragma once

#include "mildway/base/place.hpp"

#include <filesystem>

namespace mildway::planning {

/// From workspace.json alone, whatever is wrong with the files beside it. Throws InputError.
[[nodiscard]] Place load_counter(const std::filesystem::path& folder);

}  // namespace mildway::planning
