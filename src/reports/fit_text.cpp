#include "mildway/reports/fit_report.hpp"

#include "layout.hpp"

#include <cmath>
#include <vector>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace mildway::reports {

using learning::Figure;
using learning::FigureKind;
using learning::Fit;
using learning::Misfit;

namespace {

constexpr std::size_t kName = 20;
constexpr std::size_t kNumber = 10;
constexpr std::size_t kRange = 20;

std::string name_of(FigureKind kind) {
    switch (kind) {
        case FigureKind::wall:
            return "Liner conducts";
        case FigureKind::air_exchange:
            return "Air exchange";
        case FigureKind::warmer:
            break;
    }
    return "Warmers give";
}

std::string unit_of(FigureKind kind) {
    return kind == FigureKind::air_exchange ? "L/h" : "x recipe";
}

/// Three digits that count, at most two decimals.
std::string number(double value) {
    if (value >= 100) return fmt::format("{:.0f}", value);
    return value >= 10 ? fmt::format("{:.1f}", value) : fmt::format("{:.2f}", value);
}

/// A difference of temperatures.
std::string difference(double kelvins, planning::TemperatureScale scale) {
    return scale == planning::TemperatureScale::celsius ? fmt::format("{:.2f} °C", kelvins)
                                                        : fmt::format("{:.2f} °F", 1.8 * kelvins);
}

std::string row(const std::string& name, const std::string& a, const std::string& b, const std::string& range,
                const std::string& unit) {
    const std::string line = fmt::format("{}{}{}{}   {}", fit(name, kName), fit_right(a, kNumber),
                                         fit_right(b, kNumber), fit_right(range, kRange), unit);
    return line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
}

std::string header(const FitSubject& subject, const Fit& fit) {
    const auto& zone = find_zone(subject.workspace->origin.zone);
    std::string text = paragraph(
        "", fmt::format("{} in packing {} ({})", subject.log, subject.packing->id, subject.packing->label));
    text += paragraph(
        "  ",
        fmt::format("{} readings, {} to {}, worth about {:.0f} independent ones; the logger {}, the box in "
                    "setting {}",
                    fit.readings, format_local(zone, fit.stretches.front().from),
                    format_local(zone, fit.stretches.back().to), fit.independent_readings,
                    subject.at == learning::LoggerAt::cavity ? "in the air of the box" : "in a cup",
                    subject.setting));
    for (const auto& finding : fit.findings) text += paragraph("  ! ", finding);
    return text;
}

std::string figures(const Fit& fit) {
    std::string text = "\n" + row("", "recipe", "this log", "9 in 10 lie in", "");
    bool any_doubt = false;
    for (const Figure& figure : fit.figures) {
        any_doubt = any_doubt || !figure.told;
        const std::string range = figure.held
                                      ? "kept at the recipe"
                                      : fmt::format("{} to {}", number(figure.low), number(figure.high));
        text += row(name_of(figure.kind) + (figure.told ? "" : "?"), number(figure.recipe),
                    number(figure.value), range, unit_of(figure.kind));
    }
    if (any_doubt) text += "   ? This log does not tell it; see below.\n";
    return text;
}

std::string misfit_row(const std::string& name, const Misfit& misfit, const planning::Workspace& workspace) {
    return row(name, difference(misfit.rms_k, workspace.scale),
               difference(std::abs(misfit.worst_k), workspace.scale),
               format_local(find_zone(workspace.origin.zone), misfit.worst_at), "");
}

std::string misfits(const FitSubject& subject, const Fit& fit) {
    const planning::Workspace& workspace = *subject.workspace;
    std::string text = "\n" + row("The model is off by", "mostly", "at worst", "then", "");
    text += misfit_row("  recipe", fit.before, workspace);
    text += misfit_row("  these figures", fit.after, workspace);
    text += "   Mostly: the root of the mean square.\n";
    if (!fit.fits) {
        text += paragraph(
            "  ! ",
            fmt::format("Even with its best figures the model is off by more than {}: it is not a model "
                        "of this box. Was the logger where you say, the box closed all the time, and is "
                        "it this packing? Do not use the figures.",
                        difference(learning::kWorstFit_k, workspace.scale)));
    }
    return text;
}

std::string untold(const Fit& fit) {
    std::string text;
    for (const Figure& figure : fit.figures) {
        if (figure.told) continue;
        if (text.empty()) text = "\nNot told by this log:\n";
        text += paragraph(fmt::format("  {}: ", name_of(figure.kind)),
                          figure.why_not + (figure.why_not.ends_with('?') ? "" : "."));
        text += paragraph("    ", "A log that would tell it: " + figure.what_would + ".");
    }
    return text;
}

std::string short_name_of(FigureKind kind) {
    switch (kind) {
        case FigureKind::wall:
            return "wall";
        case FigureKind::air_exchange:
            return "air exchange";
        case FigureKind::warmer:
            break;
    }
    return "warmers";
}

std::vector<std::string> names_in(const learning::LearntRecord& record) {
    std::vector<std::string> names;
    if (record.wall_factor) names.push_back(short_name_of(FigureKind::wall));
    if (record.air_exchange_l_per_h) names.push_back(short_name_of(FigureKind::air_exchange));
    if (record.warmer_factor) names.push_back(short_name_of(FigureKind::warmer));
    return names;
}

std::string saving(const FitSubject& subject) {
    if (subject.saved) {
        std::string text = fmt::format("Saved in learnt.json for packing {}: {}. Plans use it from now on.",
                                       subject.packing->id, fmt::join(names_in(*subject.saved), ", "));
        std::vector<std::string> kept;
        for (const FigureKind kind : subject.kept) kept.push_back(short_name_of(kind));
        if (!kept.empty())
            text += fmt::format(" Kept from earlier logs, as this one does not tell it: {}.",
                                fmt::join(kept, ", "));
        return paragraph("", text);
    }
    return paragraph("",
                     subject.save_was_asked
                         ? "Nothing is saved: only figures that a log tells, of a model that fits it, are."
                         : "Nothing is saved; --save keeps the figures that this log tells.");
}

}  // namespace

std::string fit_text(const FitSubject& subject, const Fit& fit) {
    std::string text = header(subject, fit) + figures(fit) + misfits(subject, fit) + untold(fit) + "\n";
    const bool with_warmers = !subject.packing->warmers.empty();
    text += paragraph(
        "",
        fmt::format(
            "One log tells of one box{}: the next box of this recipe may differ from it as much as before, "
            "so liner_spread{} as {}.",
            with_warmers ? " and its own warmers" : "",
            with_warmers ? " and the warmers' unit_spread stay" : " stays",
            with_warmers ? "they are" : "it is"));
    return text + saving(subject);
}

}  // namespace mildway::reports
