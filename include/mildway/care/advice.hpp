// What to mind and what papers to ask about, for one species on one lane. Shown, never advised as law.
#pragma once

#include "mildway/base/config_reader.hpp"
#include "mildway/care/species.hpp"

#include <string>
#include <vector>

namespace mildway::care {

/// A line to read before shipping.
struct Advice {
    std::string text;
    std::string source;       ///< a rule's citation, or "common practice, no source"
    bool may_forbid = false;  ///< a rule that may forbid the sale or the shipment altogether
};

/// What lies in the box beside the animal.
struct Beside {
    bool warmer = false;
    bool coolant = false;
};

/// Cautions and paper questions (advice.json), each limited to groups or species where it applies.
class AdviceBook {
public:
    /// Throws InputError; `species` is used to check the names in the limits.
    [[nodiscard]] static AdviceBook read(const ConfigNode& node, const SpeciesTable& species);

    /// Questions about law and papers for this species; those that may forbid the sale or shipment come
    /// first.
    [[nodiscard]] std::vector<Advice> papers(const Species& species) const;

    /// The usual cautions, and those about what is packed beside the animal.
    [[nodiscard]] std::vector<Advice> cautions(const Species& species, Beside beside) const;

private:
    struct Entry {
        Advice advice;
        std::vector<std::string> groups;   ///< empty: every group
        std::vector<std::string> species;  ///< empty: every species of the groups
        bool only_with_warmer = false;
        bool only_with_coolant = false;
        [[nodiscard]] bool applies_to(const Species& animal) const;
    };
    std::vector<Entry> papers_;
    std::vector<Entry> cautions_;
};

}  // namespace mildway::care
