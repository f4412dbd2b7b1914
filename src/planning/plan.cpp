#include "mildway/planning/plan.hpp"

#include "mildway/base/parallel.hpp"
#include "mildway/planning/box_cautions.hpp"
#include "mildway/planning/explain.hpp"
#include "mildway/planning/ranking.hpp"

#include "options.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::planning {

namespace {

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

void add_once(std::vector<std::string>& all, std::vector<std::string> more) {
    for (std::string& one : more) {
        if (std::find(all.begin(), all.end(), one) == all.end()) all.push_back(std::move(one));
    }
}

/// Every trip with every packing, best first.
void assess_all(const Desk& desk, Plan& plan) {
    const std::vector<odds::BoxModel> boxes = model_boxes(desk, desk.request.packings);
    std::vector<TripOptions> by_trip(desk.stage.trips().size());
    parallel_for(by_trip.size(), desk.request.threads,
                 [&](std::size_t i) { by_trip[i] = assess_options(desk, desk.stage.trips()[i], boxes); });
    for (std::size_t i = 0; i < by_trip.size(); ++i) {
        TripOptions& made = by_trip[i];
        if (made.options.empty()) {
            const Stage::Trip& trip = desk.stage.trips()[i];
            plan.closed.push_back({trip.cases.on_time.ship_date, trip.service, made.left_out.front(),
                                   "no parcel of this size is taken"});
        }
        std::move(made.options.begin(), made.options.end(), std::back_inserter(plan.options));
        add_once(plan.left_out, std::move(made.left_out));
    }
    if (plan.options.empty())
        throw UsageError(fmt::format("no carrier takes the parcel: {}", fmt::join(plan.left_out, "; ")));
    rank(plan.options, desk.request.rank_by);
}

/// Complains when nothing can be shipped on any day.
void need_a_trip(const Stage& stage) {
    if (!stage.trips().empty()) return;
    std::string why = "no day was asked about";
    if (!stage.not_sold().empty()) why = fmt::format("{}", fmt::join(stage.not_sold(), "; "));
    if (!stage.closed().empty()) why = stage.closed().front().reason;
    throw UsageError(fmt::format("nothing can be shipped on the days asked about: {}", why));
}

std::vector<care::Advice> cautions_for(const Workspace& workspace, const Plan& plan) {
    const Option& first = plan.options.front();
    PackedBox parcel{first.packing, plan.request.contents, plan.request.species, std::nullopt};
    if (first.assessment.all) parcel.warmest_around_c = first.assessment.around_warmest_c.p95;
    return all_cautions(workspace, parcel);
}

}  // namespace

std::string_view change_name(ChangeKind kind) {
    switch (kind) {
        case ChangeKind::day:
            return "another day";
        case ChangeKind::service:
            return "another service";
        case ChangeKind::hold:
            return "holding at the counter";
        case ChangeKind::one_warmer_more:
            return "one warmer more";
        case ChangeKind::one_warmer_less:
            return "one warmer less";
        case ChangeKind::packing:
            break;
    }
    return "another packing";
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
    add_once(plan.left_out, stage.not_sold());
    need_a_trip(stage);
    const Desk desk{workspace, stage, plan.request};
    assess_all(desk, plan);
    plan.changes = single_changes(desk, plan.options);
    plan.reasons = explain(plan, workspace, stage);
    plan.cautions = cautions_for(workspace, plan);
    return plan;
}

}  // namespace mildway::planning
