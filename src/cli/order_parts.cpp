#include "order_parts.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/places/gazetteer.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::cli {

orders::OrderBook open_book(const CommonOptions& common, orders::OrderBook::Access access) {
    const std::filesystem::path folder(common.workspace);
    std::error_code error;
    if (!std::filesystem::exists(folder / "workspace.json", error))
        throw InputError((folder / "workspace.json").string(), "", 0,
                         "there is no such file; expected a workspace (mildway init makes one)");
    return orders::OrderBook(folder / orders::kBookFile, access);
}

orders::FieldHelp OrderHelp::fields() {
    orders::FieldHelp help;
    help.species = [this](const std::string& name) { return workspace_.species.find(name).id; };
    help.service = [this](const std::string& id) { return workspace_.services.find(id).id; };
    help.place = [this](const std::string& text, const std::string& zone) { return place(text, zone); };
    return help;
}

Place OrderHelp::place(const std::string& text, const std::string& zone) {
    // a table that was exported names the zone of every place
    const Place* known = workspace_.find_place(text);
    const planning::Destination found =
        look_up(text, known != nullptr && known->zone == zone ? std::string() : zone);
    if (!found.remark.empty()) console_.err << "note: " << found.remark << "\n";
    return found.place;
}

planning::Destination OrderHelp::look_up(const std::string& text, const std::string& zone) {
    std::string unknown;
    try {
        std::vector<std::unique_ptr<places::Finder>> tables;
        planning::PlaceHelp offline;
        for (const auto& file : workspace_.weather.gazetteers)
            offline.finders.push_back(tables.emplace_back(std::make_unique<places::Gazetteer>(file)).get());
        return planning::find_destination(workspace_, text, zone, offline);
    } catch (const UsageError& error) {
        unknown = error.what();
    }
    if (workspace_.find_place(text) != nullptr) throw UsageError(unknown);
    try {
        if (!access_) access_ = std::make_unique<WeatherAccess>("", common_, workspace_, now_, console_);
    } catch (const InputError& error) {  // no contact
        throw UsageError(fmt::format("{}. To ask on the network: {}", unknown, error.what()));
    }
    return planning::find_destination(workspace_, text, zone, access_->place_help());
}

void throw_faults(const std::vector<orders::FieldFault>& faults) {
    if (faults.empty()) return;
    std::string text;
    for (const auto& fault : faults) {
        std::string option = fault.field;
        std::replace(option.begin(), option.end(), '_', '-');
        if (option == "services") option = "service";
        text += fmt::format("{}--{}: {}", text.empty() ? "" : "\n  ", option, fault.says);
    }
    throw UsageError(text);
}

}  // namespace mildway::cli
