#include "sheet_document.hpp"

#include <nlohmann/json.hpp>

namespace mildway::reports {

namespace {

std::string text_at(const nlohmann::json& json, const char* key) {
    const auto found = json.find(key);
    return found != json.end() && found->is_string() ? found->get<std::string>() : "";
}

}  // namespace

ChosenFigures read_figures(const std::string& document) {
    const auto json = nlohmann::json::parse(document, nullptr, false);
    if (!json.is_object()) return {};
    ChosenFigures figures{text_at(json, "recipe"), text_at(json, "weather_basis"), std::nullopt};
    if (const auto around = json.find("around_warmest_c"); around != json.end() && around->is_object()) {
        if (const auto p95 = around->find("p95"); p95 != around->end() && p95->is_number())
            figures.warmest_around_c = p95->get<double>();
    }
    return figures;
}

}  // namespace mildway::reports
