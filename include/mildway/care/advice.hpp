// What to mind before shipping one species.
#pragma once

#include "mildway/base/config_reader.hpp"
#include "mildway/care/species.hpp"

#include <string>
#include <vector>

namespace mildway::care {

/// A line to read before shipping.
struct Advice {
    std::string text;
    std::string source;  ///< "common practice, no source" where there is none
};

/// What lies in the box beside the animal, and whether it is being packed now.
struct Beside {
    bool warmer = false;
    bool coolant = false;
    bool packing = false;
};

/// Cautions (advice.json), each limited to groups or species where it applies.
class AdviceBook {
public:
    /// Throws InputError; `species` is used to check the names in the limits.
    [[nodiscard]] static AdviceBook read(const ConfigNode& node, const SpeciesTable& species);

    /// The usual cautions, and those about what is packed beside the animal.
    [[nodiscard]] std::vector<Advice> cautions(const Species& species, Beside beside) const;

private:
    struct Entry {
        Advice advice;
        std::vector<std::string> groups;   ///< empty: every group
        std::vector<std::string> species;  ///< empty: every species of the groups
        bool only_with_warmer = false;
        bool only_with_coolant = false;
        bool only_while_packing = false;
        [[nodiscard]] bool applies_to(const Species& animal) const;
    };
    std::vector<Entry> cautions_;
};

}  // namespace mildway::care
