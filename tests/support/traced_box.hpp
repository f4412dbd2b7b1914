// One box of the demo followed hour by hour, for the reports about it.
#pragma once

#include "mildway/odds/timeline.hpp"
#include "mildway/planning/stage.hpp"
#include "mildway/reports/timeline_report.hpp"

#include "plan_world.hpp"

namespace mildway::testing {

/// The first service, packing and day of an order.
class TracedBox {
public:
    explicit TracedBox(const Order& order, const planning::Workspace& workspace = starter())
        : workspace_(workspace),
          request_(request_for(order, workspace_)),
          stage_(workspace_, demo_weather(), request_),
          box_(*request_.packings.front(), workspace_.supplies.warmers, request_.contents,
               workspace_.settings, stage_.typical_outside_c()),
          timeline_(odds::trace_trip(stage_.trips().front().cases.on_time,
                                     stage_.world(stage_.trips().front()), box_, minutes(60))) {}

    [[nodiscard]] const odds::Timeline& timeline() const { return timeline_; }
    [[nodiscard]] const transit::Trip& trip() const { return stage_.trips().front().cases.on_time; }
    [[nodiscard]] reports::TimelineSubject subject() const {
        return {&workspace_,
                request_.species,
                request_.services.front(),
                request_.packings.front(),
                &trip(),
                &stage_.route(stage_.trips().front()).lane(),
                request_.contents};
    }
    /// The same box of a parcel that is late.
    [[nodiscard]] reports::TimelineSubject late_subject(int service_days, std::size_t wait) const {
        const odds::TripCases& cases = stage_.trips().front().cases;
        reports::TimelineSubject late = subject();
        late.trip = &(service_days == 1 ? cases.one_late : cases.two_late).at(wait);
        return late;
    }

private:
    planning::Workspace workspace_;
    planning::PlanRequest request_;
    planning::Stage stage_;
    odds::BoxModel box_;
    odds::Timeline timeline_;
};

}  // namespace mildway::testing
