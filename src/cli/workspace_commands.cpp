#include "mildway/base/files.hpp"
#include "mildway/notices/mail_settings.hpp"
#include "mildway/notices/templates.hpp"
#include "mildway/places/gazetteer.hpp"
#include "mildway/weekly/limits.hpp"

#include "command.hpp"
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

namespace {

void add_init_options(CLI::App& command, InitOptions& options) {
    command.add_option("folder", options.folder, "Where")->capture_default_str();
}

}  // namespace

int run_init(const InitOptions& options, const CommonOptions& common, Console& console) {
    const std::string& folder = options.folder;
    const std::filesystem::path into(folder);
    std::error_code error;
    for (const auto& file : starter_workspace()) {
        if (std::filesystem::exists(into / file.name, error)) {
            throw UsageError(
                fmt::format("{} is there already; init only fills a folder that has none of its files",
                            (into / file.name).string()));
        }
    }
    for (const auto& file : starter_workspace()) {
        const auto there = (into / file.name).parent_path();
        if (!std::filesystem::create_directories(there, error) && error) {
            throw SystemError(
                fmt::format("{}: the folder cannot be made: {}", there.string(), error.message()));
        }
        write_file(into / file.name, file.text);
    }
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
    (void)weekly::Limits::load(workspace);
    (void)notices::Templates::load(workspace.folder / notices::kMessagesFolder);
    (void)notices::MailSettings::read(ConfigNode::load(workspace.folder / "mail.json"), workspace.folder);
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

Command init_command() {
    return simple_command<InitOptions>("init", "Write a starter workspace", add_init_options, run_init);
}

Command config_command() {
    auto check = std::make_shared<CLI::App*>(nullptr);
    return {"config",
            [check](CLI::App& app) {
                CLI::App* config = app.add_subcommand("config", "Look after the workspace");
                config->require_subcommand(1);
                *check = config->add_subcommand("check", "Read every config file and say what is wrong");
            },
            [check] { return (*check)->parsed(); },
            [](const CommonOptions& common, Console& console) { return run_config_check(common, console); }};
}

}  // namespace mildway::cli
