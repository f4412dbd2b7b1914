#include "mildway/care/advice.hpp"

#include <algorithm>

namespace mildway::care {

namespace {

std::vector<std::string> read_names(const ConfigNode& node, std::string_view key, std::string_view kind,
                                    const std::vector<std::string>& known) {
    if (!node.has(key)) return {};
    std::vector<std::string> names = node.texts(key);
    // an empty list would mean "everywhere", the opposite of what it looks like
    if (names.empty()) node.fail(key, "is empty; leave the key out where there is no limit");
    for (const auto& name : names) (void)node.index_of(key, kind, name, known);
    return names;
}

bool allows(const std::vector<std::string>& limit, const std::string& name) {
    return limit.empty() || std::find(limit.begin(), limit.end(), name) != limit.end();
}

}  // namespace

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
    for (const ConfigNode& entry : node.objects("papers")) {
        book.papers_.push_back(read_entry(entry));
        book.papers_.back().advice.may_forbid = entry.flag_or("may_forbid", false);
        entry.finish();
    }
    for (const ConfigNode& entry : node.objects("cautions")) {
        book.cautions_.push_back(read_entry(entry));
        book.cautions_.back().only_with_warmer = entry.flag_or("only_with_warmer", false);
        book.cautions_.back().only_with_coolant = entry.flag_or("only_with_coolant", false);
        entry.finish();
    }
    node.finish();
    std::stable_partition(book.papers_.begin(), book.papers_.end(),
                          [](const Entry& e) { return e.advice.may_forbid; });
    return book;
}

std::vector<Advice> AdviceBook::papers(const Species& species) const {
    std::vector<Advice> found;
    for (const Entry& entry : papers_) {
        if (entry.applies_to(species)) found.push_back(entry.advice);
    }
    return found;
}

std::vector<Advice> AdviceBook::cautions(const Species& species, Beside beside) const {
    std::vector<Advice> found;
    for (const Entry& entry : cautions_) {
        const bool packed =
            (beside.warmer || !entry.only_with_warmer) && (beside.coolant || !entry.only_with_coolant);
        if (packed && entry.applies_to(species)) found.push_back(entry.advice);
    }
    return found;
}

}  // namespace mildway::care
