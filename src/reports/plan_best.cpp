#include "plan_best.hpp"

#include "mildway/planning/explain.hpp"

#include "layout.hpp"
#include "plan_late.hpp"
#include "words.hpp"

#include <fmt/format.h>

namespace mildway::reports {

using planning::Option;
using planning::Plan;
using planning::Workspace;

namespace {

/// "promised Wed 3 Mar 10:30 (Albany NY time)"; of a held parcel also how long it can be collected.
std::string promise(const Option& best, const Place& destination) {
    const auto& zone = find_zone(destination.zone);
    std::string text = "promised " + format_local(zone, best.trip.promised);
    if (const auto& closes = best.trip.legs.back().latest)
        text += fmt::format(", to be collected by {}", format_local_clock(zone, *closes));
    return fmt::format("{} ({} time)", text, destination.name);
}

/// "17:30 at the latest", "14:00 at the latest, Christmas Eve".
std::string latest_hand_over(const Option& best, const date::time_zone& counter_zone) {
    std::string text = format_local_clock(counter_zone, best.trip.cut_off) + " at the latest";
    if (best.trip.early_closing != nullptr) text += ", " + best.trip.early_closing->name;
    return text;
}

std::string timetable(const Workspace& workspace, const Plan& plan, const Option& best) {
    const auto& counter_zone = find_zone(workspace.counter.zone);
    return paragraph(
        "  ", fmt::format("Close the box {}; hand over {} at {} ({}); {}.",
                          format_local_clock(find_zone(workspace.origin.zone), best.trip.packed),
                          format_local_clock(counter_zone, best.trip.handed_over), workspace.counter.name,
                          latest_hand_over(best, counter_zone), promise(best, plan.request.destination)));
}

std::string temperatures(const Workspace& workspace, const Option& best) {
    const auto& figures = *best.assessment.all;
    const auto degrees = [&](double c) { return planning::temperature_text(c, workspace.scale); };
    return paragraph("  ",
                     fmt::format("The animals' coldest moment: {} to {}; warmest: {} to {} (9 trips of 10).",
                                 degrees(figures.coldest_c.p5), degrees(figures.coldest_c.p95),
                                 degrees(figures.warmest_c.p5), degrees(figures.warmest_c.p95))) +
           paragraph("  ", fmt::format("More than 30 minutes outside safe: {}; past a harm limit: {}. The "
                                       "risk is on the {} side.",
                                       chance_text(figures.chance_outside.value),
                                       chance_text(figures.chance_harm.value), side_name(best.side)));
}

std::string materials(const box::Packing& packing) {
    if (!packing.warmers.empty()) return packing.coolant ? "box, warmers and cold packs" : "box and warmers";
    return packing.coolant ? "box and cold packs" : "box";
}

std::string cost(const Option& best) {
    const planning::Cost& cost = best.cost;
    std::string text = fmt::format("{}: {} {}, {} carriage (billed {:.1f} kg)", usd_text(cost.total_usd()),
                                   usd_text(cost.materials_usd), materials(*best.packing),
                                   usd_text(cost.carriage_usd), cost.billed_mass_kg);
    if (cost.extras_usd != 0) text += fmt::format(", {} extras", usd_text(cost.extras_usd));
    return text + ".";
}

/// Beside the cost and never in it, unless the ranking was asked to add them. A chance too small for the
/// scenarios to tell is told as below what they can tell, not as nothing.
std::string expected_loss(const Plan& plan, const Option& best) {
    if (!best.expected_loss_usd || !plan.request.value_usd) return "";
    constexpr double kTellable = 0.001;
    const double value_usd = *plan.request.value_usd;
    const double chance = best.assessment.all->chance_harm.value;
    std::string text =
        chance < kTellable
            ? fmt::format("Apart from that, the expected loss: under {} (value {} x {} harmed)",
                          usd_text(value_usd * kTellable), usd_text(value_usd), chance_text(chance))
            : fmt::format("Apart from that, the expected loss: {} (value {} x {} harmed)",
                          usd_text(*best.expected_loss_usd), usd_text(value_usd), chance_text(chance));
    if (!best.assessment.late_unknown_reason.empty()) text += ", late arrivals left out";
    text += ".";
    if (plan.request.rank_by == planning::RankBy::cost_and_loss)
        text += fmt::format(" Together {}, by which it was ranked.",
                            usd_text(best.cost.total_usd() + *best.expected_loss_usd));
    return text;
}

}  // namespace

std::string plan_best(const Workspace& workspace, const Plan& plan) {
    const Option& best = plan.options.front();
    if (!best.assessment.all) {
        return "\n" + paragraph("", fmt::format("Not known: {}. Nothing here says it is safe to ship.",
                                                best.assessment.unknown_reason));
    }
    std::string text = "\n" + paragraph("", fmt::format("#1, {}: {}, {}", format_day(best.ship_date),
                                                        best.service->label, best.packing->label));
    text += timetable(workspace, plan, best) + temperatures(workspace, best) + on_time_cautions(plan, best);
    text += paragraph("  ", cost(best));
    if (const std::string loss = expected_loss(plan, best); !loss.empty()) text += paragraph("  ", loss);
    return text + lateness_lines(workspace, plan, best);
}

}  // namespace mildway::reports
