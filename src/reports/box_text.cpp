#include "mildway/planning/explain.hpp"
#include "mildway/reports/box_report.hpp"

#include "box_figures_in.hpp"
#include "layout.hpp"

#include <fmt/format.h>

namespace mildway::reports {

namespace {

std::string sides(const std::array<double, 3>& sides_m) {
    return fmt::format("{:.0f} x {:.0f} x {:.0f} mm", 1000 * sides_m[0], 1000 * sides_m[1],
                       1000 * sides_m[2]);
}

std::string heading(const BoxSubject& subject) {
    const box::Packing& packing = *subject.parcel.packing;
    const int animals = subject.parcel.contents.count;
    const double mass_kg = packing.empty_mass_kg(animals, subject.workspace->supplies.warmers) +
                           animals * subject.parcel.contents.mass_kg_each;
    return paragraph(
        "", fmt::format("{}: inside {} ({:.1f} L), outside {}, {:.2f} kg with {} {}. Liner {:.0f} mm "
                        "{}, taken at {} on average.",
                        packing.label, sides(packing.inner_m), 1000 * packing.inner_volume_m3(),
                        sides(packing.outer_m()), mass_kg, animals, animals == 1 ? "animal" : "animals",
                        1000 * packing.liner.thickness_m, packing.liner.material.name,
                        planning::temperature_text(subject.liner_c, subject.workspace->scale)));
}

std::string learnt_words(const box::LearntFigures& learnt) {
    std::string words;
    const auto add = [&](const std::string& part) { words += (words.empty() ? "" : ", ") + part; };
    if (learnt.wall_factor)
        add(fmt::format("the liner leads {:.2f} times what is reckoned", *learnt.wall_factor));
    if (learnt.air_exchange_l_per_h)
        add(fmt::format("{:.1f} L of air an hour", *learnt.air_exchange_l_per_h));
    if (learnt.warmer_factor)
        add(fmt::format("warmers give {:.2f} times their table", *learnt.warmer_factor));
    return words.empty() ? "" : paragraph("  ", "Learnt from a logger: " + words + ".");
}

std::string path_lines(const box::BoxFigures& figures, const std::string& setting) {
    std::string text =
        fmt::format("\n  {:34}{:>8}{:>9}\n", "Heat leaves by (" + setting + ")", "W/K", "share");
    for (const auto& path : figures.paths) {
        text += fmt::format("    {:32}{:8.4f}{:7.0f} %\n", path.name, path.conductance.value(),
                            100 * path.conductance.value() / figures.whole.value());
    }
    return text + fmt::format("    {:32}{:8.4f}\n", "together", figures.whole.value());
}

std::string other_settings(const BoxSubject& subject) {
    std::string list;
    for (std::size_t i = 1; i < subject.settings.size(); ++i) {
        const auto& setting = subject.workspace->settings.at(subject.settings[i]);
        const auto figures = figures_in(subject, subject.settings[i]);
        list += fmt::format("{}{} {:.4f}", list.empty() ? "" : ", ", setting.name, figures.whole.value());
    }
    return list.empty() ? "" : paragraph("  ", "Together in other settings: " + list + " W/K.");
}

std::string store_lines(const box::BoxFigures& figures) {
    std::string text = fmt::format("\n  {:34}{:>8}\n", "Heat is held by", "J/K");
    double sum = 0;
    for (const auto& store : figures.stores) {
        text += fmt::format("    {:32}{:8.0f}\n", store.name, store.capacity.value());
        sum += store.capacity.value();
    }
    text += fmt::format("    {:32}{:8.0f}\n\n", "together", sum);
    std::string constants;
    for (const double hours : figures.time_constants_h)
        constants += fmt::format("{}{:.2f}", constants.empty() ? "" : ", ", hours);
    return text + paragraph("  ", "Time constants: " + constants +
                                      " h. After the longest, two thirds of a "
                                      "change of the air around have come through.");
}

std::string warmer_words(const box::BoxFigures& figures) {
    const auto& warmers = *figures.warmers;
    if (!(warmers.free_air_w > 0))
        return paragraph("  ", "Warmers: they give nothing after packing, by their tables.");
    return paragraph(
        "  ",
        fmt::format("Warmers: {:.1f} W at their strongest in free air, half of that or more until {:.0f} h "
                    "after packing. That takes {:.1f} L of fresh air an hour; {:.1f} L come in, which "
                    "leaves {:.0f} % of the oxygen and {:.1f} W. If nothing changed for hours, the "
                    "animals would be {:.1f} K above the air around the box.",
                    warmers.free_air_w, warmers.half_power_until_h, warmers.air_needed_l_per_h,
                    figures.air_exchange_l_per_h, 100 * warmers.oxygen_share, warmers.power_w,
                    warmers.animals_lift_k));
}

std::string coolant_words(const BoxSubject& subject, const box::BoxFigures& figures) {
    const auto& coolant = *figures.coolant;
    return paragraph(
        "  ", fmt::format("Coolant: melting at {} takes {:.0f} kJ, at {:.2f} W for each K that the inside is "
                          "warmer. In air 10 K warmer than it, it melts for {:.1f} h.",
                          planning::temperature_text(coolant.melts_at_c, subject.workspace->scale),
                          coolant.latent_j / 1000, coolant.to_cavity_w_per_k, coolant.plateau_h_per_10_k));
}

}  // namespace

std::string box_text(const BoxSubject& subject) {
    const auto& workspace = *subject.workspace;
    const auto& setting = workspace.settings.at(subject.settings.front());
    const auto figures = figures_in(subject, subject.settings.front());
    std::string text = heading(subject) + learnt_words(subject.parcel.packing->learnt) +
                       path_lines(figures, setting.name) + other_settings(subject) + store_lines(figures);
    if (figures.warmers) text += warmer_words(figures);
    if (figures.coolant) text += coolant_words(subject, figures);
    text += paragraph(
        "  ", fmt::format("One animal is reckoned as {} (Biot number {:.2f}). Nothing here is "
                          "better than 1.5 K: docs/model.md.",
                          figures.animal_biot > box::kLargestLumpBiot ? "two lumps, and its outer half counts"
                                                                      : "one lump",
                          figures.animal_biot));
    const auto cautions = planning::box_cautions(workspace, subject.parcel);
    if (!cautions.empty()) text += "\nMind:\n";
    for (const auto& caution : cautions) text += paragraph("  - ", caution.text);
    return text;
}

}  // namespace mildway::reports
