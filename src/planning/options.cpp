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

std::vector<odds::Assessment> assess(const Desk& desk, const Stage::Trip& trip,
                                     std::span<const odds::BoxModel> boxes) {
    const std::string doubt = desk.stage.doubt(trip);
    if (doubt.empty())
        return odds::assess_trip(trip.cases, desk.stage.world(trip), boxes, *desk.request.species);
    return std::vector<odds::Assessment>(boxes.size(), unknown_assessment(trip, doubt));
}

}  // namespace

odds::Assessment unknown_assessment(const Stage::Trip& trip, const std::string& doubt) {
    odds::Assessment unknown;
    unknown.unknown_reason = doubt;
    unknown.late = trip.cases.odds;
    return unknown;
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

std::variant<Option, transit::NotSold> make_option(const Desk& desk, const Stage::Trip& trip,
                                                   const box::Packing& packing, odds::Assessment assessment) {
    const Workspace& workspace = desk.workspace;
    const auto& warmers = workspace.supplies.warmers;
    Option option;
    option.ship_date = trip.cases.on_time.ship_date;
    option.service = trip.service;
    option.packing = &packing;
    auto cost = cost_of(desk.stage.route(trip), option.ship_date, packing, desk.request.contents, warmers);
    if (auto* not_sold = std::get_if<transit::NotSold>(&cost)) return std::move(*not_sold);
    option.cost = std::get<Cost>(cost);
    option.trip = trip.cases.on_time;
    option.if_late = if_late(*trip.service, trip.cases, packing, warmers);
    option.basis = trip.basis;
    option.lateness = trip.lateness;
    option.verdict = judge(assessment, workspace.verdicts, trip.basis, trip.lateness.winter_unknown);
    if (assessment.all) option.side = side_of(*assessment.all, desk.request.species->safe);
    option.expected_loss_usd = expected_loss_usd(desk.request, assessment);
    option.assessment = std::move(assessment);
    return option;
}

TripOptions assess_options(const Desk& desk, const Stage::Trip& trip, std::span<const odds::BoxModel> boxes) {
    std::vector<odds::Assessment> assessments = assess(desk, trip, boxes);
    TripOptions made;
    for (std::size_t i = 0; i < boxes.size(); ++i) {
        const box::Packing& packing = boxes[i].packing();
        auto option = make_option(desk, trip, packing, std::move(assessments[i]));
        if (const auto* not_sold = std::get_if<transit::NotSold>(&option)) {
            made.left_out.push_back(
                fmt::format("{} in {}: {}", packing.label, trip.service->label, not_sold->reason));
        } else {
            made.options.push_back(std::get<Option>(std::move(option)));
        }
    }
    return made;
}

}  // namespace mildway::planning
