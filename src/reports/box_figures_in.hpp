// The figures of an explained box in one of its settings.
#pragma once

#include "mildway/box/box_figures.hpp"
#include "mildway/box/films.hpp"
#include "mildway/reports/box_report.hpp"

namespace mildway::reports {

/// `setting` indexes the workspace's settings.
[[nodiscard]] inline box::BoxFigures figures_in(const BoxSubject& subject, std::size_t setting) {
    const double air_speed = subject.workspace->settings.at(setting).air_speed_m_per_s;
    return box::figures_of(*subject.parcel.packing, subject.workspace->supplies.warmers,
                           subject.parcel.contents, box::outside_film(air_speed), subject.liner_c);
}

}  // namespace mildway::reports
