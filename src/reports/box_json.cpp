#include "mildway/reports/box_report.hpp"

#include "box_figures_in.hpp"

#include <nlohmann/json.hpp>

namespace mildway::reports {

using nlohmann::ordered_json;

namespace {

ordered_json warmers_json(const box::WarmerFigures& warmers) {
    return {{"free_air_w", warmers.free_air_w},
            {"oxygen_share", warmers.oxygen_share},
            {"power_w", warmers.power_w},
            {"air_needed_l_per_h", warmers.air_needed_l_per_h},
            {"half_power_until_h", warmers.half_power_until_h},
            {"animals_lift_k", warmers.animals_lift_k}};
}

ordered_json coolant_json(const box::CoolantFigures& coolant) {
    return {{"melts_at_c", coolant.melts_at_c},
            {"latent_j", coolant.latent_j},
            {"to_cavity_w_per_k", coolant.to_cavity_w_per_k},
            {"melting_h_per_10_k", coolant.plateau_h_per_10_k}};
}

ordered_json number_or_null(const std::optional<double>& number) {
    return number ? ordered_json(*number) : ordered_json(nullptr);
}

ordered_json learnt_json(const box::LearntFigures& learnt) {
    return {{"wall_factor", number_or_null(learnt.wall_factor)},
            {"air_exchange_l_per_h", number_or_null(learnt.air_exchange_l_per_h)},
            {"warmer_factor", number_or_null(learnt.warmer_factor)}};
}

}  // namespace

ordered_json box_json(const BoxSubject& subject) {
    ordered_json json{{"packing", subject.parcel.packing->id}, {"liner_c", subject.liner_c}};
    json["learnt"] = learnt_json(subject.parcel.packing->learnt);
    json["settings"] = ordered_json::array();
    for (const std::size_t setting : subject.settings) {
        const box::BoxFigures figures = figures_in(subject, setting);
        ordered_json entry{{"setting", subject.workspace->settings.at(setting).name}};
        for (const auto& path : figures.paths) entry[path.name + "_w_per_k"] = path.conductance.value();
        entry["whole_w_per_k"] = figures.whole.value();
        entry["time_constants_h"] = figures.time_constants_h;
        json["settings"].push_back(entry);
    }
    const box::BoxFigures figures = figures_in(subject, subject.settings.front());
    json["held_j_per_k"] = ordered_json::object();
    for (const auto& store : figures.stores) json["held_j_per_k"][store.name] = store.capacity.value();
    json["air_exchange_l_per_h"] = figures.air_exchange_l_per_h;
    json["animal_biot"] = figures.animal_biot;
    json["warmers"] = figures.warmers ? warmers_json(*figures.warmers) : ordered_json(nullptr);
    json["coolant"] = figures.coolant ? coolant_json(*figures.coolant) : ordered_json(nullptr);
    json["cautions"] = ordered_json::array();
    for (const auto& caution : planning::box_cautions(*subject.workspace, subject.parcel))
        json["cautions"].push_back({{"text", caution.text}, {"source", caution.source}});
    return json;
}

}  // namespace mildway::reports
