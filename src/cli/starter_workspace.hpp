// The files of config/, as they were when the program was built.
#pragma once

#include <string>
#include <vector>

namespace mildway::cli {

struct StarterFile {
    std::string name;
    std::string text;
};

/// Sorted by name.
[[nodiscard]] const std::vector<StarterFile>& starter_workspace();

}  // namespace mildway::cli
