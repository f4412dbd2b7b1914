// What a box comes to: where its heat goes and is held, what its warmers and coolants can do.
#pragma once

#include "mildway/planning/box_cautions.hpp"
#include "mildway/reports/timeline_report.hpp"

#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

namespace mildway::reports {

struct BoxSubject {
    const planning::Workspace* workspace = nullptr;
    planning::PackedBox parcel;
    double liner_c = 24;                ///< mean temperature of the liner
    std::vector<std::size_t> settings;  ///< of the trip; the first sets the paths' outside film
};

/// The box of a timeline: its liner half way between the air around and inside, in the settings of the trip.
[[nodiscard]] BoxSubject explained_box(const TimelineSubject& subject, const odds::Timeline& timeline);

/// At most 80 columns.
[[nodiscard]] std::string box_text(const BoxSubject& subject);

[[nodiscard]] nlohmann::ordered_json box_json(const BoxSubject& subject);

}  // namespace mildway::reports
