#include "mildway/care/advice.hpp"

#include "limits.hpp"

namespace mildway::care {

bool AdviceBook::Entry::applies_to(const Species& animal) const {
    return allows(groups, animal.group) && allows(species, animal.id);
}

AdviceBook AdviceBook::read(const ConfigNode& node, const SpeciesTable& species) {
    std::vector<std::string> ids;
    for (const Species& animal : species.all()) ids.push_back(animal.id);
    const auto read_entry = [&ids](const ConfigNode& entry) {
        Entry read;
        read.advice = {entry.text("text"), entry.text("source")};
        read.groups = read_names(entry, "groups", "group", animal_groups());
        read.species = read_names(entry, "species", "species", ids);
        return read;
    };
    AdviceBook book;
    if (node.has("papers")) node.fail("papers", "has moved to rules.json, each as a rule (docs/config.md)");
    for (const ConfigNode& entry : node.objects("cautions")) {
        book.cautions_.push_back(read_entry(entry));
        book.cautions_.back().only_with_warmer = entry.flag_or("only_with_warmer", false);
        book.cautions_.back().only_with_coolant = entry.flag_or("only_with_coolant", false);
        book.cautions_.back().only_while_packing = entry.flag_or("only_while_packing", false);
        entry.finish();
    }
    node.finish();
    return book;
}

std::vector<Advice> AdviceBook::cautions(const Species& species, Beside beside) const {
    std::vector<Advice> found;
    for (const Entry& entry : cautions_) {
        const bool packed = (beside.warmer || !entry.only_with_warmer) &&
                            (beside.coolant || !entry.only_with_coolant) &&
                            (beside.packing || !entry.only_while_packing);
        if (packed && entry.applies_to(species)) found.push_back(entry.advice);
    }
    return found;
}

}  // namespace mildway::care
