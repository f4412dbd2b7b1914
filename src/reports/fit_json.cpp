#include "mildway/reports/fit_report.hpp"

#include "json_parts.hpp"

#include <nlohmann/json.hpp>

namespace mildway::reports {

using learning::Figure;
using learning::FigureKind;
using learning::Fit;
using nlohmann::ordered_json;

namespace {

const char* name_of(FigureKind kind) {
    switch (kind) {
        case FigureKind::wall:
            return "wall_factor";
        case FigureKind::air_exchange:
            return "air_exchange_l_per_h";
        case FigureKind::warmer:
            break;
    }
    return "warmer_factor";
}

ordered_json figure_json(const Figure& figure) {
    return {{"figure", name_of(figure.kind)},
            {"recipe", figure.recipe},
            {"value", figure.value},
            {"low", figure.low},
            {"high", figure.high},
            {"relative_error", figure.relative_error},
            {"told", figure.told},
            {"kept_at_recipe", figure.held},
            {"why_not", text_or_null(figure.why_not)},
            {"what_would", text_or_null(figure.what_would)}};
}

ordered_json misfit_json(const learning::Misfit& misfit) {
    return {
        {"rms_k", misfit.rms_k}, {"worst_k", misfit.worst_k}, {"worst_at", format_instant(misfit.worst_at)}};
}

ordered_json correlations_json(const Fit& fit) {
    ordered_json all = ordered_json::array();
    for (std::size_t i = 0; i < fit.correlation.size(); ++i) {
        for (std::size_t j = i + 1; j < fit.correlation.size(); ++j) {
            all.push_back({{"between", {name_of(fit.figures[i].kind), name_of(fit.figures[j].kind)}},
                           {"correlation", fit.correlation[i][j]}});
        }
    }
    return all;
}

ordered_json saved_json(const std::optional<learning::LearntRecord>& saved) {
    ordered_json names = ordered_json::array();
    if (saved && saved->wall_factor) names.push_back(name_of(FigureKind::wall));
    if (saved && saved->air_exchange_l_per_h) names.push_back(name_of(FigureKind::air_exchange));
    if (saved && saved->warmer_factor) names.push_back(name_of(FigureKind::warmer));
    return names;
}

}  // namespace

std::string fit_json(const FitSubject& subject, const Fit& fit) {
    ordered_json json{{"document", "mildway fit"},
                      {"version", kFitVersion},
                      {"log", subject.log},
                      {"packing", subject.packing->id},
                      {"logger_at", subject.at == learning::LoggerAt::cavity ? "cavity" : "cup"},
                      {"setting", subject.setting},
                      {"readings", fit.readings},
                      {"independent_readings", fit.independent_readings}};
    json["stretches"] = ordered_json::array();
    for (const auto& stretch : fit.stretches)
        json["stretches"].push_back(
            {{"from", format_instant(stretch.from)}, {"to", format_instant(stretch.to)}});
    json["before"] = misfit_json(fit.before);
    json["after"] = misfit_json(fit.after);
    json["fits"] = fit.fits;
    json["figures"] = ordered_json::array();
    for (const Figure& figure : fit.figures) json["figures"].push_back(figure_json(figure));
    json["correlations"] = correlations_json(fit);
    json["findings"] = fit.findings;
    json["saved"] = saved_json(subject.saved);
    json["kept"] = ordered_json::array();
    for (const FigureKind kind : subject.kept) json["kept"].push_back(name_of(kind));
    // names of files and columns may hold any bytes
    return json.dump(2, ' ', false, ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace mildway::reports
