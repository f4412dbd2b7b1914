#include "mildway/planning/plan.hpp"

#include "mildway/base/parallel.hpp"
#include "mildway/odds/assess.hpp"
#include "mildway/odds/box_model.hpp"
#include "mildway/planning/box_cautions.hpp"
#include "mildway/planning/explain.hpp"
#include "mildway/planning/ranking.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::planning {

namespace {

double cost_usd(const Workspace& workspace, const transit::Service& service, const box::Packing& packing,
                const box::Contents& contents) {
    const double mass_kg = packing.empty_mass_kg(contents.count, workspace.supplies.warmers) +
                           contents.count * contents.mass_kg_each;
    return packing.materials_usd(workspace.supplies.warmers) +
           transit::carriage_usd(service, mass_kg, packing.outer_volume_m3());
}

Side side_of(const odds::Figures& figures, const care::Band& safe) {
    constexpr double kNothing = 0.005;
    if (figures.hours_cold + figures.hours_warm > kNothing) {
        return figures.hours_cold >= figures.hours_warm ? Side::cold : Side::warm;
    }
    return figures.coldest_c.p50 - safe.low_c <= safe.high_c - figures.warmest_c.p50 ? Side::cold
                                                                                     : Side::warm;
}

bool within(const odds::Figures& figures, const VerdictLimits& limits) {
    return figures.chance_outside.value <= limits.chance_outside &&
           figures.chance_harm.value <= limits.chance_harm;
}

/// Keeps the packings with room for every animal; says which are left out.
std::vector<std::string> drop_packings_too_small(PlanRequest& request) {
    std::vector<std::string> left_out;
    std::erase_if(request.packings, [&](const box::Packing* packing) {
        const std::string why = box::why_no_room(*packing, request.contents);
        if (why.empty()) return false;
        left_out.push_back(why);
        return true;
    });
    if (request.packings.empty()) {
        throw UsageError(fmt::format("no packing holds {} animals, one to a cup ({})", request.contents.count,
                                     fmt::join(left_out, "; ")));
    }
    return left_out;
}

std::vector<odds::BoxModel> model_boxes(const Workspace& workspace, const PlanRequest& request,
                                        double outside_c) {
    std::vector<std::optional<odds::BoxModel>> models(request.packings.size());
    parallel_for(models.size(), request.threads, [&](std::size_t i) {
        models[i].emplace(*request.packings[i], workspace.supplies.warmers, request.contents,
                          workspace.settings, outside_c);
    });
    std::vector<odds::BoxModel> ready;
    ready.reserve(models.size());
    for (auto& model : models) ready.push_back(std::move(*model));
    return ready;
}

/// All packings on one trip.
std::vector<Option> assess_options(const Workspace& workspace, const Stage& stage, const Stage::Trip& trip,
                                   const PlanRequest& request, std::span<const odds::BoxModel> boxes) {
    std::vector<odds::Assessment> assessments;
    if (const std::string doubt = stage.doubt(); !doubt.empty()) {
        odds::Assessment unknown;
        unknown.unknown_reason = doubt;
        unknown.late = trip.cases.odds;
        assessments.assign(boxes.size(), unknown);
    } else {
        assessments = odds::assess_trip(trip.cases, stage.world(), boxes, *request.species);
    }
    std::vector<Option> options;
    for (std::size_t i = 0; i < boxes.size(); ++i) {
        Option option;
        option.ship_date = trip.cases.on_time.ship_date;
        option.service = trip.service;
        option.packing = request.packings[i];
        option.trip = trip.cases.on_time;
        option.basis = trip.basis;
        option.lateness = trip.lateness;
        option.cost_usd = cost_usd(workspace, *trip.service, *option.packing, request.contents);
        option.verdict = judge(assessments[i], workspace.verdicts, trip.basis, trip.lateness.winter_unknown);
        if (assessments[i].all) option.side = side_of(*assessments[i].all, request.species->safe);
        option.assessment = std::move(assessments[i]);
        options.push_back(std::move(option));
    }
    return options;
}

}  // namespace

std::string_view verdict_name(Verdict verdict) {
    switch (verdict) {
        case Verdict::comfortable:
            return "comfortable";
        case Verdict::tight:
            return "tight";
        case Verdict::unsafe:
            return "unsafe";
        case Verdict::unknown:
            break;
    }
    return "unknown";
}

std::string_view side_name(Side side) {
    return side == Side::cold ? "cold" : "warm";
}

Verdict judge(const odds::Assessment& assessment, const VerdictRules& rules, weather::Basis basis,
              bool winter_unknown) {
    if (!assessment.all) return Verdict::unknown;
    const bool may_be_comfortable =
        assessment.late_unknown_reason.empty() && basis != weather::Basis::climate && !winter_unknown;
    if (may_be_comfortable && within(*assessment.all, rules.comfortable)) return Verdict::comfortable;
    return within(*assessment.all, rules.tight) ? Verdict::tight : Verdict::unsafe;
}

Plan make_plan(const Workspace& workspace, const weather::ForecastSource& source,
               const PlanRequest& request) {
    Plan plan;
    plan.request = request;
    plan.request.scenarios = odds::whole_rounds(request.scenarios);
    plan.left_out = drop_packings_too_small(plan.request);
    const Stage stage(workspace, source, plan.request);
    plan.closed = stage.closed();
    plan.weather = stage.weather();
    if (stage.trips().empty()) {
        const std::string why =
            stage.closed().empty() ? "no day was asked about" : stage.closed().front().reason;
        throw UsageError(fmt::format("nothing can be shipped on the days asked about: {}", why));
    }
    const std::vector<odds::BoxModel> boxes = model_boxes(workspace, plan.request, stage.typical_outside_c());
    std::vector<std::vector<Option>> by_trip(stage.trips().size());
    parallel_for(by_trip.size(), plan.request.threads, [&](std::size_t i) {
        by_trip[i] = assess_options(workspace, stage, stage.trips()[i], plan.request, boxes);
    });
    for (auto& options : by_trip) {
        std::move(options.begin(), options.end(), std::back_inserter(plan.options));
    }
    rank(plan.options);
    plan.reasons = explain(plan, stage.outlooks_of_lane(), workspace.scale);
    const Option& first = plan.options.front();
    PackedBox parcel{first.packing, request.contents, request.species, std::nullopt};
    if (first.assessment.all) parcel.warmest_around_c = first.assessment.around_warmest_c.p95;
    plan.cautions = all_cautions(workspace, parcel);
    return plan;
}

}  // namespace mildway::planning
