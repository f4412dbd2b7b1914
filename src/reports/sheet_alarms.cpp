#include "mildway/box/network.hpp"

#include "sheet_desk.hpp"
#include "sheet_packing.hpp"

#include <fmt/format.h>

namespace mildway::reports {

using orders::State;

namespace {

void add_verdict_alarm(const SheetDesk& desk, Sheet& sheet) {
    if (!desk.still_to_ship()) return;
    if (sheet.verdict == Verdict::unsafe)
        sheet.alarms.emplace_back("Unsafe: keep the animals home, and plan again.");
    if (sheet.verdict == Verdict::unknown)
        sheet.alarms.emplace_back(
            "Unknown: there is no usable weather. Nothing here says it is safe to ship.");
    const bool checked = desk.checked && desk.checked->choice_version == desk.choice.version;
    const Instant issued = checked ? desk.checked->weather_issued : desk.choice.weather_issued;
    if (issued != kNoWeather && desk.now - issued > desk.workspace.weather.stale_after) {
        sheet.alarms.push_back(
            fmt::format("The weather behind this is {:.0f} h old. Run 'mildway check' and print the sheet "
                        "again before you pack.",
                        in_hours(desk.now - issued)));
    }
    if (checked && desk.checked->better_day)
        sheet.remarks.push_back(
            fmt::format("The check found a better day: {}.", format_day(*desk.checked->better_day)));
}

/// What has changed in the workspace since the choice was made.
void add_changes(const SheetDesk& desk, Sheet& sheet) {
    if (!desk.still_to_ship()) return;
    const std::string recipe = whole_recipe(desk.packing, desk.workspace.supplies.warmers);
    if (!desk.figures.recipe.empty() && desk.figures.recipe != recipe) {
        sheet.alarms.push_back(
            fmt::format("The recipe of '{}' was changed since this was planned, so its figures do "
                        "not hold: run 'mildway check', or plan again.",
                        desk.choice.packing_label));
    }
    if (desk.service == nullptr) {
        sheet.alarms.push_back(
            fmt::format("services.json does not know '{}' any more: is it still sold, with the "
                        "same latest hand-over?",
                        desk.choice.service_label));
    }
    if (const std::string why = box::why_no_room(desk.packing, desk.parcel.contents); !why.empty())
        sheet.alarms.push_back(why + ".");
    if (desk.choice.packed + desk.workspace.hand_over.before_counter() > desk.choice.handed_over) {
        sheet.alarms.emplace_back(
            "Packing and drive take longer in workspace.json now than when this was planned: the times below "
            "are tight. Plan again, or start earlier.");
    }
}

}  // namespace

void add_state(const SheetDesk& desk, Sheet& sheet) {
    if (desk.order.state == State::handed_over)
        sheet.remarks.emplace_back("Handed over already: this sheet is for your records.");
    if (desk.order.state == State::arrived)
        sheet.remarks.emplace_back("Arrived already: this sheet is for your records.");
    if (desk.still_to_ship() && desk.now > desk.choice.cut_off) {
        sheet.alarms.push_back(
            fmt::format("The latest hand-over, {}, has passed: do not pack by this sheet. Plan again.",
                        format_local(desk.counter, desk.choice.cut_off)));
        return;
    }
    const Instant latest_packing = desk.choice.packed + (desk.choice.cut_off - desk.choice.handed_over);
    if (desk.still_to_ship() && desk.now > latest_packing) {
        sheet.alarms.push_back(fmt::format(
            "The box had to be closed by {} to be at the counter in time: do not pack by this sheet. "
            "Plan again.",
            format_local(desk.counter, latest_packing)));
    }
}

void add_alarms(const SheetDesk& desk, Sheet& sheet) {
    add_verdict_alarm(desk, sheet);
    add_changes(desk, sheet);
}

}  // namespace mildway::reports
