// The starter workspace after somebody edited its services.json.
#pragma once

#include "plan_world.hpp"

#include <fstream>
#include <functional>

#include <nlohmann/json.hpp>

namespace mildway::testing {

/// `change` is called with each service of the file.
inline planning::Workspace with_services(const std::function<void(nlohmann::ordered_json&)>& change) {
    std::ifstream file(MILDWAY_SOURCE_DIR "/config/services.json");
    auto json = nlohmann::ordered_json::parse(file);
    for (auto& service : json.at("services")) change(service);
    planning::Workspace workspace = starter();
    workspace.services = transit::Services::read(ConfigNode::parse("services.json", json.dump()),
                                                 {starter().settings, starter().holidays, starter().places});
    return workspace;
}

}  // namespace mildway::testing
