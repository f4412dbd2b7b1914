// Everything that the parts of a sheet are made from.
#pragma once

#include "mildway/planning/explain.hpp"
#include "mildway/reports/sheet.hpp"
#include "mildway/weekly/as_planned.hpp"
#include "mildway/weekly/order_parcel.hpp"

#include "sheet_document.hpp"

#include <optional>
#include <string>

namespace mildway::reports {

/// Borrowed.
struct SheetDesk {
    const planning::Workspace& workspace;
    const orders::Order& order;
    const orders::Choice& choice;
    const std::optional<orders::Reassessment>& checked;
    Instant now;
    weekly::PlanTrouble trouble;
    planning::Parcel parcel;
    const box::Packing& packing;
    const transit::Service* service = nullptr;  ///< nullptr: services.json knows it no more
    ChosenFigures figures;
    const date::time_zone& home;     ///< clock of the origin
    const date::time_zone& counter;  ///< where the parcel is handed over
    const date::time_zone& there;    ///< of the destination

    [[nodiscard]] std::string degrees(double temp_c) const {
        return planning::temperature_text(temp_c, workspace.scale);
    }
    [[nodiscard]] bool still_to_ship() const { return order.state == orders::State::planned; }
};

/// As a check without usable weather leaves it.
inline constexpr Instant kNoWeather{};

/// Where the order stands.
void add_state(const SheetDesk& desk, Sheet& sheet);

/// What a person has to see to first: of the verdict, which stands in the sheet already, and of what was
/// changed since.
void add_alarms(const SheetDesk& desk, Sheet& sheet);

}  // namespace mildway::reports
