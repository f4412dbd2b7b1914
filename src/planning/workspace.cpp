#include "mildway/planning/workspace.hpp"

#include "mildway/base/config_reader.hpp"
#include "mildway/base/text.hpp"
#include "mildway/learning/learnt.hpp"

#include <algorithm>

namespace mildway::planning {

namespace {

bool same_name(const std::string& a, const std::string& b) {
    return lower_case(a) == lower_case(b);
}

Climate read_climate(const ConfigNode& node) {
    return node.has("climate") ? static_cast<Climate>(node.choice("climate", climate_names()))
                               : Climate::elsewhere;
}

Place read_place(const ConfigNode& node) {
    Place place;
    place.name = node.text("name");
    place.latitude_deg = node.number("latitude_deg", {-90, 90});
    place.longitude_deg = node.number("longitude_deg", {-180, 180});
    place.zone = node.text("zone");
    try {
        (void)find_zone(place.zone);
    } catch (const UsageError& error) {
        node.fail("zone", error.what());
    }
    place.climate = read_climate(node);
    if (node.has("region")) {
        place.region = node.text("region");
        if (!care::is_region(place.region))
            node.fail("region", "is '" + place.region +
                                    "'; expected a country or a part of one, by ISO 3166: \"US\", \"US-MN\"");
    }
    if (node.has("elevation_m")) place.elevation_m = node.number("elevation_m", {-430, 6000});
    node.finish();
    return place;
}

VerdictLimits read_limits(const ConfigNode& node) {
    const VerdictLimits limits{node.number("chance_outside", {0, 1}), node.number("chance_harm", {0, 1})};
    node.finish();
    return limits;
}

VerdictRules read_verdicts(const ConfigNode& node) {
    const VerdictRules rules{read_limits(node.object("comfortable")), read_limits(node.object("tight"))};
    if (rules.tight.chance_outside < rules.comfortable.chance_outside ||
        rules.tight.chance_harm < rules.comfortable.chance_harm) {
        node.fail("tight", "allows less than 'comfortable' does; expected limits at least as wide");
    }
    node.finish();
    return rules;
}

const Place& named_place(const Workspace& workspace, const ConfigNode& node, const char* key) {
    const std::string name = node.text(key);
    const Place* place = workspace.find_place(name);
    if (place == nullptr) node.fail(key, unknown_name_message("place", name, workspace.place_names()));
    return *place;
}

void read_workspace_file(const ConfigNode& node, Workspace& workspace) {
    workspace.breeder = node.text("breeder");
    if (node.has("address")) workspace.address = node.texts("address");
    workspace.scale =
        static_cast<TemperatureScale>(node.choice("temperature_scale", {"celsius", "fahrenheit"}));
    for (const ConfigNode& place : node.objects("places")) {
        const std::string name = place.text("name");
        if (workspace.find_place(name) != nullptr)
            place.fail("name", "is '" + name + "', which another place has already");
        workspace.places.push_back(read_place(place));
    }
    workspace.origin = named_place(workspace, node, "origin");
    workspace.counter = named_place(workspace, node, "counter");
    workspace.hand_over.drive = minutes(node.whole("drive_minutes", 1, 600));
    workspace.hand_over.packed_before_leaving = minutes(node.whole("packed_before_leaving_minutes", 1, 240));
    workspace.hand_over.parked = minutes(node.whole_or("parked_minutes", 0, 0, 240));
    workspace.weather = weather::WeatherSetup::read(node.object("weather"), workspace.folder);
    if (node.has("verdicts")) workspace.verdicts = read_verdicts(node.object("verdicts"));
    node.finish();
}

void need_parked_vehicle(const ConfigNode& node, const Workspace& workspace) {
    const auto names = workspace.settings.names();
    const bool there = std::find(names.begin(), names.end(), "parked-vehicle") != names.end();
    if (workspace.hand_over.parked.count() > 0 && !there)
        node.fail("parked_minutes",
                  "needs the setting 'parked-vehicle'; settings.json has none of that name");
}

}  // namespace

Workspace Workspace::load_own_file(const std::filesystem::path& folder) {
    Workspace workspace;
    workspace.folder = folder;
    read_workspace_file(ConfigNode::load(folder / "workspace.json"), workspace);
    return workspace;
}

Workspace Workspace::load(const std::filesystem::path& folder) {
    Workspace workspace;
    workspace.folder = folder;
    const ConfigNode file = ConfigNode::load(folder / "workspace.json");
    read_workspace_file(file, workspace);
    workspace.climate_stations =
        weather::read_climate_stations(ConfigNode::load(folder / "climate_stations.json"));
    workspace.settings = transit::Settings::read(ConfigNode::load(folder / "settings.json"));
    need_parked_vehicle(file, workspace);
    workspace.holidays = transit::Holidays::read(ConfigNode::load(folder / "holidays.json"));
    workspace.services = transit::Services::read(ConfigNode::load(folder / "services.json"),
                                                 {workspace.settings, workspace.holidays, workspace.places});
    workspace.hazards = odds::HazardRules::read(ConfigNode::load(folder / "hazards.json"));
    workspace.supplies = box::Supplies::read(ConfigNode::load(folder / "materials.json"));
    workspace.packings = box::Packings::read(ConfigNode::load(folder / "packings.json"), workspace.supplies);
    if (const auto learnt = folder / "learnt.json"; std::filesystem::exists(learnt)) {
        workspace.learnt_remarks = learning::apply(learning::read_learnt(ConfigNode::load(learnt)),
                                                   workspace.packings, workspace.supplies.warmers);
    }
    workspace.species = care::SpeciesTable::read(ConfigNode::load(folder / "species.json"));
    workspace.rules = care::RuleBook::read(ConfigNode::load(folder / "rules.json"), workspace.species);
    workspace.advice = care::AdviceBook::read(ConfigNode::load(folder / "advice.json"), workspace.species);
    return workspace;
}

const Place* Workspace::find_place(const std::string& name) const {
    const auto found =
        std::find_if(places.begin(), places.end(), [&](const Place& p) { return same_name(p.name, name); });
    return found == places.end() ? nullptr : &*found;
}

std::vector<std::string> Workspace::place_names() const {
    std::vector<std::string> names;
    for (const auto& place : places) names.push_back(place.name);
    return names;
}

}  // namespace mildway::planning
