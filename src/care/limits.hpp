// Limits of rules and cautions to groups or species.
#pragma once

#include "mildway/base/config_reader.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace mildway::care {

/// The names under a key, each one of `known`; none when the key is missing. Throws InputError.
[[nodiscard]] std::vector<std::string> read_names(const ConfigNode& node, std::string_view key,
                                                  std::string_view kind,
                                                  const std::vector<std::string>& known);

/// Whether a limit lets a name through; an empty one lets all.
[[nodiscard]] bool allows(const std::vector<std::string>& limit, const std::string& name);

}  // namespace mildway::care
