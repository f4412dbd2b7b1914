#include "mildway/weekly/as_planned.hpp"

#include "mildway/weekly/order_parcel.hpp"

#include <vector>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace mildway::weekly {

namespace {

std::variant<transit::Trip, transit::NoTrip> laid_anew(const orders::Order& order,
                                                       const planning::Workspace& workspace,
                                                       const transit::Service& service, Instant now) {
    const transit::Route route(service, workspace.settings,
                               transit::lane_of(service, {workspace.origin, workspace.counter}, order.place),
                               workspace.hand_over);
    return route.lay(order.choice->ship_date, now);
}

/// "the latest hand-over is 16:00 instead of 17:30"; with the days where they differ.
void add_changed(std::vector<std::string>& changed, const char* what, const date::time_zone& zone,
                 Instant now, Instant planned) {
    if (now == planned) return;
    const bool one_day = local_date(zone, now) == local_date(zone, planned);
    const auto words = [&](Instant when) {
        return one_day ? format_local_clock(zone, when) : format_local(zone, when);
    };
    changed.push_back(fmt::format("{} {} instead of {}", what, words(now), words(planned)));
}

/// What differs between the trip as it was chosen and as it is laid by today's files.
std::string changed_times(const orders::Order& order, const planning::Workspace& workspace,
                          const transit::Trip& trip) {
    const orders::Choice& choice = *order.choice;
    const date::time_zone& home = find_zone(workspace.origin.zone);
    const date::time_zone& counter = find_zone(workspace.counter.zone);
    std::vector<std::string> changed;
    add_changed(changed, "latest hand-over", counter, trip.cut_off, choice.cut_off);
    add_changed(changed, "hand-over", counter, trip.handed_over, choice.handed_over);
    add_changed(changed, "box closed", home, trip.packed, choice.packed);
    add_changed(changed, "promised there", find_zone(order.place.zone), trip.promised, choice.promised);
    if (changed.empty()) return "";
    return fmt::format("its times are others than when it was planned: {}", fmt::join(changed, ", "));
}

PlanTrouble never(std::string says) {
    return {std::move(says), true, true};
}

}  // namespace

PlanTrouble why_not_as_planned(const orders::Order& order, const planning::Workspace& workspace,
                               const Limits& limits) {
    const orders::Choice& choice = *order.choice;
    if (std::string gone = what_is_gone(order, workspace); !gone.empty()) return never(std::move(gone));
    if (workspace.packings.by_id(choice.packing) == nullptr)
        return never(fmt::format("packings.json has no '{}' any more", choice.packing));
    const transit::Service* service = workspace.services.by_id(choice.service);
    if (service == nullptr) return never(fmt::format("services.json has no '{}' any more", choice.service));
    const auto laid = laid_anew(order, workspace, *service, choice.chosen);
    if (const auto* none = std::get_if<transit::NoTrip>(&laid)) return never(none->reason);
    PlanTrouble trouble;
    if (limits.is_away(choice.ship_date)) {
        trouble.needs_move = true;
        trouble.says = fmt::format("you are away on {}", format_day(choice.ship_date));
    }
    const std::string times = changed_times(order, workspace, std::get<transit::Trip>(laid));
    if (!times.empty()) trouble.says += (trouble.says.empty() ? "" : "; ") + times;
    return trouble;
}

std::string why_too_late(const orders::Order& order, const planning::Workspace& workspace, Instant now) {
    const auto laid = laid_anew(order, workspace, workspace.services.find(order.choice->service), now);
    const auto* none = std::get_if<transit::NoTrip>(&laid);
    return none == nullptr ? "" : none->reason;
}

}  // namespace mildway::weekly
