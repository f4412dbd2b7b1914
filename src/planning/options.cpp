#include "options.hpp"

#include "mildway/base/parallel.hpp"

#include <optional>

#include <fmt/format.h>

namespace mildway::planning {

namespace {

Side side_of(const odds::Figures& figures, const care::Band& safe) {
    constexpr double kNothing = 0.005;
    if (figures.hours_cold + figures.hours_warm > kNothing) {
        return figures.hours_cold >= figures.hours_warm ? Side::cold : Side::warm;
    }
    return figures.coldest_c.p50 - safe.low_c <= safe.high_c - figures.warmest_c.p50 ? Side::cold
                                                                                     : Side::warm;
}

/// The cost that the animals stand for, too, is told apart from the money.
std::optional<double> expected_loss_usd(const PlanRequest& request, const odds::Assessment& assessment) {
    if (!request.value_usd || !assessment.all) return std::nullopt;
    return *request.value_usd * assessment.all->chance_harm.value;
}

}  // namespace

std::vector<odds::Assessment> assess_boxes(const Stage& stage, const Stage::Trip& trip,
                                           std::span<const odds::Occupied> boxes) {
    const std::string doubt = stage.doubt(trip);
    if (doubt.empty()) return odds::assess_trip(trip.cases, stage.world(trip), boxes);
    odds::Assessment unknown;
    unknown.unknown_reason = doubt;
    unknown.late = trip.cases.odds;
    return std::vector<odds::Assessment>(boxes.size(), unknown);
}

std::vector<odds::BoxModel> model_boxes(const Desk& desk, std::span<const box::Packing* const> packings) {
    const double outside_c = desk.stage.typical_outside_c();
    std::vector<std::optional<odds::BoxModel>> models(packings.size());
    parallel_for(models.size(), desk.request.threads, [&](std::size_t i) {
        models[i].emplace(*packings[i], desk.workspace.supplies.warmers, desk.request.contents,
                          desk.workspace.settings, outside_c);
    });
    std::vector<odds::BoxModel> ready;
    ready.reserve(models.size());
    for (auto& model : models) ready.push_back(std::move(*model));
    return ready;
}

std::variant<Cost, std::string> price(const Desk& desk, const Stage::Trip& trip,
                                      const box::Packing& packing) {
    auto cost = cost_of(desk.stage.route(trip), trip.cases.on_time.ship_date, packing, desk.request.contents,
                        desk.workspace.supplies.warmers);
    if (const auto* not_sold = std::get_if<transit::NotSold>(&cost))
        return fmt::format("{} in {}: {}", packing.label, trip.service->label, not_sold->reason);
    return std::get<Cost>(cost);
}

Option make_option(const Desk& desk, const Stage::Trip& trip, const box::Packing& packing, const Cost& cost,
                   odds::Assessment assessment) {
    const Workspace& workspace = desk.workspace;
    Option option;
    option.ship_date = trip.cases.on_time.ship_date;
    option.service = trip.service;
    option.packing = &packing;
    option.cost = cost;
    option.trip = trip.cases.on_time;
    option.if_late = if_late(*trip.service, trip.cases, packing, workspace.supplies.warmers);
    option.basis = trip.basis;
    option.lateness = trip.lateness;
    option.verdict = judge(assessment, workspace.verdicts, trip.basis, trip.lateness.winter_unknown);
    if (assessment.all) option.side = side_of(*assessment.all, desk.request.species->safe);
    option.expected_loss_usd = expected_loss_usd(desk.request, assessment);
    option.assessment = std::move(assessment);
    return option;
}

TripOptions assess_options(const Desk& desk, const Stage::Trip& trip, std::span<const odds::BoxModel> boxes) {
    TripOptions made;
    std::vector<odds::Occupied> taken;
    std::vector<Cost> costs;
    for (const odds::BoxModel& box : boxes) {
        auto cost = price(desk, trip, box.packing());
        if (auto* why_not = std::get_if<std::string>(&cost)) {
            made.left_out.push_back(std::move(*why_not));
            continue;
        }
        taken.push_back({&box, desk.request.species});
        costs.push_back(std::get<Cost>(cost));
    }
    if (taken.empty()) return made;
    std::vector<odds::Assessment> assessments = assess_boxes(desk.stage, trip, taken);
    for (std::size_t i = 0; i < taken.size(); ++i)
        made.options.push_back(
            make_option(desk, trip, taken[i].box->packing(), costs[i], std::move(assessments[i])));
    return made;
}

}  // namespace mildway::planning
