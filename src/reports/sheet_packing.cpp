#include "sheet_packing.hpp"

#include "mildway/learning/learnt.hpp"
#include "mildway/planning/explain.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace mildway::reports {

namespace {

constexpr double kMm = 1000;

/// "crumpled-paper" as a person says it.
std::string spoken(std::string name) {
    std::replace(name.begin(), name.end(), '-', ' ');
    return name;
}

/// "1 x 40-hour warmer".
std::string warmers_of(const PackingTask& task, const box::WarmerUse& use) {
    return fmt::format("{} x {}", use.count, task.workspace->supplies.warmers.at(use.type).label);
}

std::string coolants_of(const box::CoolantUse& use) {
    return fmt::format("{} x {}", use.count, use.type.label);
}

std::string clock_of(const PackingTask& task, Instant when) {
    return format_local_clock(find_zone(task.workspace->origin.zone), when);
}

bool is_solid(const box::CoolantUse& use) {
    return use.conditioned_to_c <= use.type.melts_at_c;  // as box/parcel.cpp reckons it
}

SheetStep condition_step(const PackingTask& task) {
    const box::CoolantUse& use = *task.packing->coolant;
    return {
        "The day before",
        fmt::format("From {} at the latest, lay {} flat at {}, until {} through.",
                    format_local(find_zone(task.workspace->origin.zone), task.packed - kConditioned),
                    coolants_of(use), planning::temperature_text(use.conditioned_to_c, task.workspace->scale),
                    is_solid(use) ? "hard" : "soft")};
}

SheetStep box_step(const PackingTask& task) {
    const box::Packing& packing = *task.packing;
    const std::string holes =
        packing.vents.count == 0
            ? "It has no vent holes."
            : fmt::format("{} vent hole{} of {:g} mm, open and clear.", packing.vents.count,
                          packing.vents.count == 1 ? "" : "s", kMm * packing.vents.diameter_m);
    return {"Box",
            fmt::format("{:.0f} x {:.0f} x {:.0f} mm inside, {:g} mm foam ({}){}, board ({}). {}",
                        kMm * packing.inner_m[0], kMm * packing.inner_m[1], kMm * packing.inner_m[2],
                        kMm * packing.liner.thickness_m, packing.liner.material.name,
                        packing.reflective_liner ? ", foil inside" : "", packing.board.material.name, holes)};
}

SheetStep opening_step(const PackingTask& task, const box::WarmerUse& use) {
    const auto before = static_cast<int>(std::lround(60 * use.opened_before_packing_h));
    const std::string when = before > 0 ? fmt::format("At {} ({} minutes before packing)",
                                                      clock_of(task, opened_at(task, use)), before)
                                        : fmt::format("At {}, as you pack,", clock_of(task, task.packed));
    return {"Open warmers",
            fmt::format("{} open {}. Feel that {} before it goes in; have a spare for one that stays cold.",
                        when, warmers_of(task, use), use.count == 1 ? "it warms" : "each warms")};
}

SheetStep cups_step(const PackingTask& task) {
    const box::Cup& cup = task.packing->cup;
    const std::size_t count = task.animals.size();
    std::string marks;
    for (const SheetAnimal& animal : task.animals) marks += (marks.empty() ? "" : ", ") + animal.name;
    return {"Cups",
            fmt::format("{} x {} ({:g} mm wide, {:g} mm high), air holes, paper in {}; one animal to a "
                        "cup, each cup marked: {}.",
                        count, cup.name, kMm * cup.diameter_m, kMm * cup.height_m, count == 1 ? "it" : "each",
                        marks)};
}

SheetStep fill_step(const PackingTask& task) {
    return {"Fill", fmt::format("{:.0f} g of {} round the cups, so that nothing shifts.",
                                kMm * task.packing->fill_kg, spoken(task.packing->fill_material.name))};
}

std::vector<SheetStep> fixing_steps(const PackingTask& task) {
    std::vector<SheetStep> steps;
    std::string warmers;
    for (const box::WarmerUse& use : task.packing->warmers)
        warmers += (warmers.empty() ? "" : " and ") + warmers_of(task, use);
    if (!warmers.empty()) {
        // a finger's width: planning/box_cautions.cpp warns of boxes that leave less
        steps.push_back(
            {"Fix warmers",
             fmt::format("{} to lid or wall, padded, a finger's width from every cup.", warmers)});
    }
    if (task.packing->coolant) {
        steps.push_back(
            {"Fix cold packs", fmt::format("{}, wrapped in paper, padded from every cup, fixed so that "
                                           "nothing slides.",
                                           coolants_of(*task.packing->coolant))});
    }
    return steps;
}

}  // namespace

Instant opened_at(const PackingTask& task, const box::WarmerUse& use) {
    return task.packed - seconds(std::lround(3600 * use.opened_before_packing_h));
}

std::vector<SheetStep> packing_steps(const PackingTask& task) {
    std::vector<SheetStep> steps;
    if (task.packing->coolant) steps.push_back(condition_step(task));
    steps.push_back(box_step(task));
    for (const box::WarmerUse& use : task.packing->warmers) steps.push_back(opening_step(task, use));
    steps.push_back(cups_step(task));
    if (task.packing->fill_kg > 0) steps.push_back(fill_step(task));
    for (SheetStep& step : fixing_steps(task)) steps.push_back(std::move(step));
    steps.push_back(
        {"Close", fmt::format("At {} look at each animal once more, lay the list of contents in, close, "
                              "tape the board's seams. No tape over a vent hole.",
                              clock_of(task, task.packed))});
    return steps;
}

std::string whole_recipe(const box::Packing& packing, const box::Warmers& types) {
    std::string text = learning::recipe_text(packing, types);
    text += fmt::format("; fill {} {:g} kg; cup {}", packing.fill_material.name, packing.fill_kg,
                        packing.cup.name);
    if (packing.coolant) {
        text += fmt::format("; {} x {} at {:g} degC", packing.coolant->count, packing.coolant->type.name,
                            packing.coolant->conditioned_to_c);
    }
    return text;
}

}  // namespace mildway::reports
