// Harm bands of the starter species against published limits. A critical maximum is reached in minutes on a
// ramp and is no temperature to keep an animal at: what it bears for hours lies several kelvins lower. So
// harm must begin at least kHoursMargin below the lowest published maximum; the margin is judgement.
//
// Every acclimation counts, the coolest too: a frog kept at 10 degC bears about 4 K less heat than one kept
// warm (Brattstrom 1970), and nobody knows how a buyer's or breeder's room was last week.
#include "mildway/care/species.hpp"

#include "catch.hpp"

#include <algorithm>
#include <fstream>
#include <map>
#include <sstream>

using namespace mildway;
using namespace mildway::care;

namespace {

constexpr double kHoursMargin = 4.0;

/// Published limits of one species: lowest maximum, highest minimum.
struct Limits {
    double lowest_max_c = 99;
    double highest_min_c = -99;
};

using Row = std::map<std::string, std::string>;

std::vector<std::string> split(const std::string& line) {
    std::vector<std::string> cells(1);
    bool quoted = false;
    for (const char letter : line) {
        if (letter == '"')
            quoted = !quoted;
        else if (letter == ',' && !quoted)
            cells.emplace_back();
        else if (letter != '\r')
            cells.back() += letter;
    }
    return cells;
}

/// The rows of a table by column name; empty when the shared data is not there.
std::vector<Row> table(const std::string& name) {
    std::ifstream in(std::string(MILDWAY_SHARED_DATA) + "/" + name);
    std::vector<Row> rows;
    std::string line;
    if (!std::getline(in, line)) return rows;
    const auto header = split(line);
    while (std::getline(in, line)) {
        const auto cells = split(line);
        REQUIRE(cells.size() == header.size());
        Row row;
        for (std::size_t i = 0; i < header.size(); ++i) row[header[i]] = cells[i];
        rows.push_back(std::move(row));
    }
    return rows;
}

/// Critical and lethal limits of reptiles and amphibians: Bennett et al. 2018, Sci. Data 5:180022.
void add_globtherm(std::map<std::string, Limits>& limits) {
    for (const Row& row : table("globtherm_herps.csv")) {
        Limits& species = limits[row.at("Genus") + " " + row.at("Species")];
        const double limit_c = std::stod(row.at("thermal_limit"));
        if (row.at("type") == "max") species.lowest_max_c = std::min(species.lowest_max_c, limit_c);
        if (row.at("type") == "min") species.highest_min_c = std::max(species.highest_min_c, limit_c);
    }
}

/// Critical maxima of frogs: Pottier et al. 2022, Sci. Data.
void add_amphibians(std::map<std::string, Limits>& limits) {
    for (const Row& row : table("amphibian_heat_subset.csv")) {
        if (row.at("metric") != "CTmax") continue;
        Limits& species = limits[row.at("species")];
        species.lowest_max_c = std::min(species.lowest_max_c, std::stod(row.at("mean_UTL")));
    }
}

/// Limits of the starter species that anyone has published; empty when the shared data is not there.
std::map<std::string, Limits> published() {
    std::map<std::string, Limits> limits;
    add_globtherm(limits);
    add_amphibians(limits);
    return limits;
}

SpeciesTable starter() {
    return SpeciesTable::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/species.json"));
}

}  // namespace

TEST_CASE("Harm begins well below the published critical maximum") {
    const auto limits = published();
    if (limits.empty()) {
        WARN("skipped: the shared tables of thermal limits are not there");
        return;
    }
    const SpeciesTable species = starter();
    int compared = 0;
    for (const Species& each : species.all()) {
        const auto found = limits.find(each.scientific);
        if (found == limits.end() || found->second.lowest_max_c > 90) continue;
        INFO(each.scientific << ": lowest published maximum " << found->second.lowest_max_c);
        CHECK(each.harm.high_c <= found->second.lowest_max_c - kHoursMargin);
        ++compared;
    }
    CHECK(compared == 3);  // Hermann's tortoise, dart frog, White's tree frog
}

TEST_CASE("Harm begins above the published cold limit") {
    const auto limits = published();
    if (limits.empty()) {
        WARN("skipped: the shared tables of thermal limits are not there");
        return;
    }
    const SpeciesTable species = starter();
    int compared = 0;
    for (const Species& each : species.all()) {
        const auto found = limits.find(each.scientific);
        if (found == limits.end() || found->second.highest_min_c < -90) continue;
        INFO(each.scientific << ": highest published minimum " << found->second.highest_min_c);
        CHECK(each.harm.low_c >= found->second.highest_min_c);
        ++compared;
    }
    CHECK(compared == 2);  // Hermann's tortoise, dart frog
}
