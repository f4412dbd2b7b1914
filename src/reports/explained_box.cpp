#include "mildway/reports/box_report.hpp"

#include <algorithm>

namespace mildway::reports {

BoxSubject explained_box(const TimelineSubject& subject, const odds::Timeline& timeline) {
    BoxSubject box;
    box.workspace = subject.workspace;
    box.parcel = {subject.packing, subject.contents, subject.species, std::nullopt};
    double sum_c = 0;
    for (const auto& moment : timeline.moments) {
        sum_c += (moment.around_c.p50 + moment.cavity_c.p50) / 2;
        const double warmest_c = box.parcel.warmest_around_c.value_or(moment.around_c.p95);
        box.parcel.warmest_around_c = std::max(warmest_c, moment.around_c.p95);
    }
    if (!timeline.moments.empty()) box.liner_c = sum_c / static_cast<double>(timeline.moments.size());
    for (const transit::Leg& leg : subject.trip->legs) {
        if (std::find(box.settings.begin(), box.settings.end(), leg.setting) == box.settings.end())
            box.settings.push_back(leg.setting);
    }
    return box;
}

}  // namespace mildway::reports
