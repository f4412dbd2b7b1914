#include "mildway/care/species.hpp"

#include "mildway/base/text.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::care {

namespace {

Band read_band(const ConfigNode& node, std::string_view key) {
    const std::vector<double> ends = node.numbers(key);
    if (ends.size() != 2 || !(ends[0] < ends[1]) || ends[0] < -5 || ends[1] > 50) {
        node.fail(key, "expected [low, high] in degrees Celsius, low below high, from -5 to 50");
    }
    return {ends[0], ends[1]};
}

Species read_species(const ConfigNode& node) {
    Species species;
    species.id = node.text("id");
    species.common = node.text("common");
    species.scientific = node.text("scientific");
    species.group = animal_groups()[node.choice("group", animal_groups())];
    species.comfort = read_band(node, "comfort_c");
    species.safe = read_band(node, "safe_c");
    species.harm = read_band(node, "harm_c");
    if (species.comfort.low_c < species.safe.low_c || species.comfort.high_c > species.safe.high_c) {
        node.fail("comfort_c", "reaches beyond safe_c; expected comfort inside safe");
    }
    if (species.safe.low_c <= species.harm.low_c || species.safe.high_c >= species.harm.high_c) {
        node.fail("safe_c", "reaches harm_c; expected safe to end before harm begins, on both sides");
    }
    species.without_water_h = node.number("without_water_h", {1, 2000});
    species.without_food_h = node.number("without_food_h", {1, 5000});
    species.venomous = node.flag_or("venomous", false);
    species.mass_g = node.number("mass_g", {0.1, 20000});
    species.bands_source = node.text("bands_source");
    species.mass_source = node.text("mass_source");
    species.fasting_source = node.text("fasting_source");
    species.limits_note = node.text("limits_note");
    node.finish();
    return species;
}

/// In lower case; an id also with blanks for its dashes, as a person writes it.
std::vector<std::string> names_of(const Species& species) {
    const std::string id = lower_case(species.id);
    std::string plain = id;
    std::replace(plain.begin(), plain.end(), '-', ' ');
    return {id, plain, lower_case(species.common), lower_case(species.scientific)};
}

bool share_a_name(const Species& a, const Species& b) {
    const auto names = names_of(b);
    return std::ranges::any_of(names_of(a), [&](const auto& name) {
        return std::find(names.begin(), names.end(), name) != names.end();
    });
}

}  // namespace

const std::vector<std::string>& animal_groups() {
    static const std::vector<std::string> groups{"tortoise", "turtle", "snake",      "lizard",
                                                 "gecko",    "frog",   "salamander", "invertebrate"};
    return groups;
}

SpeciesTable SpeciesTable::read(const ConfigNode& node) {
    SpeciesTable table;
    for (const ConfigNode& entry : node.objects("species")) {
        Species species = read_species(entry);
        for (const Species& other : table.all_) {
            if (share_a_name(species, other)) {
                entry.fail(
                    "id",
                    fmt::format("'{}' shares a name with '{}'; expected id, common and scientific name to "
                                "tell species apart",
                                species.id, other.id));
            }
        }
        table.all_.push_back(std::move(species));
    }
    if (table.all_.empty()) node.fail("species", "is empty; expected at least one species");
    node.finish();
    return table;
}

const Species* SpeciesTable::by_id(const std::string& id) const {
    const auto found =
        std::find_if(all_.begin(), all_.end(), [&](const Species& one) { return one.id == id; });
    return found == all_.end() ? nullptr : &*found;
}

std::string SpeciesTable::common_name(const std::string& id) const {
    if (const Species* species = by_id(id)) return species->common;
    std::string plain = id;
    std::replace(plain.begin(), plain.end(), '-', ' ');
    return plain;
}

const Species& SpeciesTable::find(const std::string& name) const {
    const std::string wanted = lower_case(name);
    std::vector<std::string> known;
    for (const Species& species : all_) {
        for (auto& each : names_of(species)) {
            if (each == wanted) return species;
            known.push_back(std::move(each));
        }
    }
    const std::string near = nearest_name(wanted, known);
    if (!near.empty())
        throw UsageError(fmt::format("no species is called '{}'; did you mean '{}'?", name, near));
    std::vector<std::string> ids;
    for (const Species& species : all_) ids.push_back(species.id);
    throw UsageError(unknown_name_message("species", name, ids));
}

}  // namespace mildway::care
