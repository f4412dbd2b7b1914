#include "mildway/box/network.hpp"

#include "better_words.hpp"
#include "sheet_desk.hpp"
#include "sheet_packing.hpp"

#include <fmt/format.h>

namespace mildway::reports {

using orders::State;

namespace {

bool is_checked(const SheetDesk& desk) {
    return desk.checked && desk.checked->choice_version == desk.choice.version;
}

/// Apart from the weather: by the workspace's files as they are now, or as the check found it.
void add_trouble(const SheetDesk& desk, Sheet& sheet) {
    if (!desk.trouble.says.empty()) {
        sheet.alarms.push_back(fmt::format("Cannot go as planned: {}. Plan again.", desk.trouble.says));
    } else if (is_checked(desk) && !desk.checked->trouble.empty()) {
        sheet.alarms.push_back(fmt::format(
            "The check found that it cannot go as planned: {}. Plan again, or run 'mildway check' again.",
            desk.checked->trouble));
    }
}

void add_verdict_alarm(const SheetDesk& desk, Sheet& sheet) {
    const bool checked = is_checked(desk);
    if (sheet.verdict == Verdict::unsafe)
        sheet.alarms.emplace_back("Unsafe: keep the animals home, and plan again.");
    if (sheet.verdict == Verdict::unknown && !(checked && !desk.checked->trouble.empty()))
        sheet.alarms.emplace_back(
            "Unknown: there is no usable weather. Nothing here says it is safe to ship.");
    const Instant issued = checked ? desk.checked->weather_issued : desk.choice.weather_issued;
    if (issued != kNoWeather && desk.now - issued > desk.workspace.weather.stale_after) {
        sheet.alarms.push_back(
            fmt::format("The weather behind this is {:.0f} h old. Run 'mildway check' and print the sheet "
                        "again before you pack.",
                        in_hours(desk.now - issued)));
    }
    if (checked && desk.checked->better_day &&
        *desk.checked->better_day >= local_date(desk.counter, desk.now)) {
        sheet.remarks.push_back(fmt::format("The check found better: {}.",
                                            better_words(*desk.checked, desk.choice, desk.workspace)));
    }
}

/// What has changed in the workspace since the choice was made.
void add_changes(const SheetDesk& desk, Sheet& sheet) {
    const std::string recipe = whole_recipe(desk.packing, desk.workspace.supplies.warmers);
    if (!desk.figures.recipe.empty() && desk.figures.recipe != recipe) {
        sheet.alarms.push_back(
            fmt::format("The recipe of '{}' was changed since this was planned, so its figures do "
                        "not hold: run 'mildway check', or plan again.",
                        desk.choice.packing_label));
    }
    if (const std::string why = box::why_no_room(desk.packing, desk.parcel.contents); !why.empty())
        sheet.alarms.push_back(why + ".");
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
    if (!desk.still_to_ship()) return;
    add_trouble(desk, sheet);
    add_verdict_alarm(desk, sheet);
    add_changes(desk, sheet);
}

}  // namespace mildway::reports
