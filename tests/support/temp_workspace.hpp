// The starter workspace with the demo's forecasts, in a folder of its own that goes when the test ends.
#pragma once

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <functional>
#include <sstream>
#include <stdexcept>
#include <string>

#include <nlohmann/json.hpp>

namespace mildway::testing {

/// A new empty folder; deleted with all that is in it.
class TempFolder {
public:
    TempFolder() {
        std::string name = (std::filesystem::temp_directory_path() / "mildway-test-XXXXXX").string();
        if (mkdtemp(name.data()) == nullptr) throw std::runtime_error("no folder for the test: " + name);
        path_ = name;
    }
    ~TempFolder() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    TempFolder(const TempFolder&) = delete;
    TempFolder& operator=(const TempFolder&) = delete;

    [[nodiscard]] const std::filesystem::path& path() const { return path_; }

private:
    std::filesystem::path path_;
};

inline std::string slurp(const std::filesystem::path& file) {
    std::ostringstream all;
    all << std::ifstream(file, std::ios::binary).rdbuf();
    return all.str();
}

inline void spill(const std::filesystem::path& file, const std::string& text) {
    if (!(std::ofstream(file, std::ios::binary) << text))
        throw std::runtime_error("cannot write " + file.string());
}

/// config/*.json with a contact filled in, and fixtures/demo/weather/*.json as forecasts in its folder
/// "weather".
class TempWorkspace {
public:
    TempWorkspace() {
        const std::filesystem::path source(MILDWAY_SOURCE_DIR);
        std::filesystem::copy(source / "config", path(), std::filesystem::copy_options::recursive);
        std::filesystem::copy(source / "fixtures/demo/weather", path() / "weather");
        edit("workspace.json", "\"weather\": {", "\"weather\": {\"contact\": \"breeder@mildway.test\",");
    }

    [[nodiscard]] const std::filesystem::path& path() const { return folder_.path(); }
    [[nodiscard]] std::string name() const { return path().string(); }
    [[nodiscard]] std::string recorded() const { return (path() / "weather").string(); }

    /// Replaces the first `from` of a file; a file without it is a mistake of the test.
    void edit(const std::string& file, const std::string& from, const std::string& to) {
        std::string text = slurp(path() / file);
        const auto at = text.find(from);
        if (at == std::string::npos) throw std::runtime_error(file + " holds no " + from);
        spill(path() / file, text.replace(at, from.size(), to));
    }

    void edit_json(const std::string& file, const std::function<void(nlohmann::ordered_json&)>& change) {
        auto json = nlohmann::ordered_json::parse(slurp(path() / file));
        change(json);
        spill(path() / file, json.dump(2));
    }

    /// Changes every temperature of a place's forecast.
    void edit_temperatures(const std::string& slug, const std::function<double(double)>& change) {
        edit_json("weather/" + slug + ".json", [&](nlohmann::ordered_json& json) {
            for (auto& sample : json["properties"]["temperature"]["values"])
                sample["value"] = change(sample["value"].get<double>());
        });
    }

    void remove(const std::string& file) { std::filesystem::remove_all(path() / file); }

private:
    TempFolder folder_;
};

}  // namespace mildway::testing
