// One box hour by hour: as a table, as CSV, as JSON, as a drawing.
#pragma once

#include "mildway/odds/timeline.hpp"
#include "mildway/planning/plan.hpp"

#include <string>

namespace mildway::reports {

/// What the timeline is of.
struct TimelineSubject {
    const planning::Workspace* workspace = nullptr;
    const care::Species* species = nullptr;
    const transit::Service* service = nullptr;
    const box::Packing* packing = nullptr;
    const transit::Trip* trip = nullptr;
    const transit::Lane* lane = nullptr;
    box::Contents contents;
    bool explain_box = false;  ///< also say what the box comes to: in text before the table, in JSON as "box"
};

/// At most 80 columns. Times are the origin's.
[[nodiscard]] std::string timeline_text(const TimelineSubject& subject, const odds::Timeline& timeline);

/// One row for each moment, temperatures in degC; RFC 4180.
[[nodiscard]] std::string timeline_csv(const TimelineSubject& subject, const odds::Timeline& timeline);

[[nodiscard]] std::string timeline_json(const TimelineSubject& subject, const odds::Timeline& timeline);

/// A self-contained SVG: the 5-95 % fan of the animals and of the air around the box, the safe band, the
/// legs.
[[nodiscard]] std::string timeline_svg(const TimelineSubject& subject, const odds::Timeline& timeline);

}  // namespace mildway::reports
