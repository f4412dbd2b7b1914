#include "mildway/base/files.hpp"
#include "mildway/places/gazetteer.hpp"

#include "options.hpp"
#include "starter_workspace.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace mildway::cli {

namespace {

std::string counted(std::size_t n, const char* what) {
    return fmt::format("{} {}", n, what);
}

}  // namespace

int run_init(const std::string& folder, const CommonOptions& common, Console& console) {
    const std::filesystem::path into(folder);
    std::error_code error;
    for (const auto& file : starter_workspace()) {
        if (std::filesystem::exists(into / file.name, error)) {
            throw UsageError(
                fmt::format("{} is there already; init only fills a folder that has none of its files",
                            (into / file.name).string()));
        }
    }
    if (!std::filesystem::create_directories(into, error) && error) {
        throw SystemError(fmt::format("{}: the folder cannot be made: {}", folder, error.message()));
    }
    for (const auto& file : starter_workspace()) write_file(into / file.name, file.text);
    if (common.json) {
        nlohmann::ordered_json json{{"document", "mildway init"}, {"version", 1}, {"folder", folder}};
        for (const auto& file : starter_workspace()) json["files"].push_back(file.name);
        console.out << json.dump(2) << "\n";
        return kDone;
    }
    console.out << fmt::format(
        "{} files written to {}.\nThey describe an invented breeder and carrier: put in your own places and "
        "services,\n"
        "and an address of yours as \"contact\" under \"weather\" in workspace.json, which the weather\n"
        "services ask for. Then try: mildway --workspace {} config check\n",
        starter_workspace().size(), folder, folder);
    return kDone;
}

int run_config_check(const CommonOptions& common, Console& console) {
    const auto workspace = open_workspace(common, console);
    (void)workspace.weather.user_agent((workspace.folder / "workspace.json").string());
    // a gazetteer is read when it is first asked
    for (const auto& file : workspace.weather.gazetteers) (void)places::Gazetteer(file).find("nowhere");
    const std::string found = fmt::format("{}, {}, {}, {}, {}", counted(workspace.places.size(), "places"),
                                          counted(workspace.services.all().size(), "services"),
                                          counted(workspace.packings.all().size(), "packings"),
                                          counted(workspace.species.all().size(), "species"),
                                          counted(workspace.supplies.materials.all().size(), "materials"));
    if (common.json) {
        console.out << fmt::format(
            "{{\"document\": \"mildway config check\", \"version\": 1, \"places\": {}, \"services\": {}, "
            "\"packings\": {}, "
            "\"species\": {}, \"materials\": {}}}\n",
            workspace.places.size(), workspace.services.all().size(), workspace.packings.all().size(),
            workspace.species.all().size(), workspace.supplies.materials.all().size());
    } else {
        console.out << fmt::format("{}: good ({})\n", workspace.breeder, found);
    }
    return kDone;
}

}  // namespace mildway::cli
