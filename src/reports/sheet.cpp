#include "mildway/reports/sheet.hpp"

#include "mildway/planning/box_cautions.hpp"
#include "mildway/planning/explain.hpp"
#include "mildway/planning/lane_rules.hpp"
#include "mildway/weekly/order_parcel.hpp"

#include "sheet_desk.hpp"
#include "sheet_packing.hpp"
#include "words.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::reports {

using orders::Choice;
using orders::Order;
using orders::State;
using planning::Workspace;

namespace {

void need_choice(const Order& order) {
    if (order.state == State::cancelled)
        throw UsageError(fmt::format("order {} was cancelled: there is nothing to pack", order.number));
    if (!order.choice) {
        throw UsageError(
            fmt::format("order {} has no ship day, service and packing yet, so there is nothing to pack by; "
                        "choose them first: mildway week --apply",
                        order.number));
    }
}

const box::Packing& packing_of(const Workspace& workspace, const Order& order) {
    if (const box::Packing* packing = workspace.packings.by_id(order.choice->packing)) return *packing;
    throw InputError(
        (workspace.folder / "packings.json").string(), "", 0,
        fmt::format("order {} is planned with the packing '{}', which is not there any more; put it "
                    "back, or plan the order again",
                    order.number, order.choice->packing));
}

std::string day_with_year(Date day) {
    return fmt::format("{} {}", format_day(day), static_cast<int>(day.year()));
}

std::string grams(double mass_g) {
    return fmt::format("{:.6g} g", mass_g);
}

std::vector<SheetAnimal> animals_of(const SheetDesk& desk) {
    std::vector<SheetAnimal> all;
    for (const orders::Animal& animal : desk.order.animals) {
        SheetAnimal one;
        one.name = animal.mark.empty() ? std::to_string(all.size() + 1) : animal.mark;
        one.mass = animal.mass_g ? grams(*animal.mass_g) : "about " + grams(desk.parcel.species->mass_g);
        if (animal.shell_mm) one.shell = fmt::format("{:.6g} mm", *animal.shell_mm);
        all.push_back(std::move(one));
    }
    return all;
}

// --- the verdict

/// Words for one verdict, whoever came to it.
std::string judged_words(Verdict verdict, Side side, const std::optional<double>& hours_outside,
                         const std::optional<double>& chance_harm) {
    std::string text(verdict_name(verdict));
    if (verdict == Verdict::unknown || !hours_outside) return text;
    text += fmt::format(", the risk on the {} side: {:.1f} h outside the safe band expected", side_name(side),
                        *hours_outside);
    if (chance_harm) text += fmt::format(", past a harm limit {}", chance_text(*chance_harm));
    return text;
}

std::string assessed_words(const SheetDesk& desk, const char* what, Instant made, Instant issued,
                           const std::string& basis) {
    if (issued == kNoWeather) return fmt::format("{} {}", what, format_local(desk.home, made));
    return fmt::format("{} {}, weather{} issued {}", what, format_local(desk.home, made),
                       basis.empty() ? "" : " (" + basis + ")", format_local(desk.home, issued));
}

void add_verdict(const SheetDesk& desk, Sheet& sheet) {
    const Choice& choice = desk.choice;
    const bool checked = desk.checked && desk.checked->choice_version == choice.version;
    if (!checked) {
        sheet.verdict = choice.verdict;
        sheet.side = choice.side;
        sheet.judged =
            capitalised(judged_words(choice.verdict, choice.side, choice.hours_outside, choice.chance_harm));
        sheet.assessed =
            assessed_words(desk, "Planned", choice.chosen, choice.weather_issued, desk.figures.basis);
        return;
    }
    const orders::Reassessment& found = *desk.checked;
    sheet.verdict = found.standing;
    sheet.side = found.side;
    sheet.judged =
        capitalised(judged_words(found.standing, found.side, found.hours_outside, found.chance_harm));
    sheet.assessed = assessed_words(desk, "Checked", found.made, found.weather_issued, "");
    sheet.remarks.push_back(
        fmt::format("When it was planned, {}: {}.", format_local(desk.home, choice.chosen),
                    judged_words(choice.verdict, choice.side, choice.hours_outside, choice.chance_harm)));
}

// --- times

/// The clock alone on the ship day.
std::string on_day(const SheetDesk& desk, const date::time_zone& zone, Instant when) {
    return local_date(zone, when) == desk.choice.ship_date ? format_local_clock(zone, when)
                                                           : format_local(zone, when);
}

void add_times(const SheetDesk& desk, const PackingTask& task, Sheet& sheet) {
    const Choice& choice = desk.choice;
    const seconds slack = choice.cut_off - choice.handed_over;
    const auto add = [&](std::string what, Instant at, const date::time_zone& zone, bool may_wait = true) {
        SheetTime time{std::move(what), on_day(desk, zone, at), "", at, std::nullopt};
        if (may_wait) {
            time.latest_at = at + slack;
            time.latest = on_day(desk, zone, *time.latest_at);
        }
        sheet.times.push_back(std::move(time));
    };
    if (desk.packing.coolant)
        add("Cold packs to their temperature", choice.packed - kConditioned, desk.home, false);
    std::vector<Instant> openings;
    for (const box::WarmerUse& use : desk.packing.warmers) openings.push_back(opened_at(task, use));
    std::sort(openings.begin(), openings.end());
    openings.erase(std::unique(openings.begin(), openings.end()), openings.end());
    for (const Instant opening : openings) add("Open the warmers", opening, desk.home);
    add("Animals in, box closed", choice.packed, desk.home);
    const auto& drive = desk.workspace.hand_over;
    add(fmt::format("Leave {}", desk.workspace.origin.name), choice.handed_over - drive.drive - drive.parked,
        desk.home);
    add(fmt::format("At the counter, {}", desk.workspace.counter.name), choice.handed_over, desk.counter);
    sheet.clock = desk.workspace.origin.zone == desk.workspace.counter.zone
                      ? fmt::format("By the clock of {}.", desk.workspace.counter.name)
                      : fmt::format("By the clock of {}; at the counter that of {}.",
                                    desk.workspace.origin.name, desk.workspace.counter.name);
}

// --- label, marks, list

/// A word for the outside of the box.
std::string kind_word(const care::Species& species) {
    if (species.group == "frog" || species.group == "salamander") return "amphibians";
    if (species.group == "invertebrate") return "invertebrates";
    return "reptiles";
}

std::vector<std::string> lines_of_address(const std::string& address) {
    std::vector<std::string> lines;
    std::size_t at = 0;
    while (at < address.size()) {
        const std::size_t end = std::min(address.find('\n', at), address.size());
        if (end > at) lines.push_back(address.substr(at, end - at));
        at = end + 1;
    }
    return lines;
}

/// Of an address that is not known: street, and town.
constexpr std::size_t kLinesToWrite = 2;

void add_label(const SheetDesk& desk, Sheet& sheet) {
    const care::Species& species = *desk.parcel.species;
    sheet.shipper = {desk.workspace.breeder};
    sheet.shipper.insert(sheet.shipper.end(), desk.workspace.address.begin(), desk.workspace.address.end());
    if (desk.workspace.address.empty()) sheet.shipper.resize(sheet.shipper.size() + kLinesToWrite);
    sheet.consignee = {desk.order.buyer.name};
    const auto address = lines_of_address(desk.order.buyer.address);
    sheet.consignee.insert(sheet.consignee.end(), address.begin(), address.end());
    if (address.empty()) sheet.consignee.resize(sheet.consignee.size() + kLinesToWrite);
    sheet.contents_list =
        fmt::format("{} ({}), number: {}, alive, {}", species.scientific, species.common,
                    desk.order.animals.size(), species.venomous ? "VENOMOUS" : "not venomous");
    sheet.marks = {"both names, addresses and telephone numbers",
                   fmt::format("\"Live {}{}\", and the list of contents",
                               species.venomous ? "VENOMOUS " : "harmless ", kind_word(species)),
                   fmt::format("\"This side up\", \"Keep between {} and {}\"",
                               desk.degrees(species.safe.low_c), desk.degrees(species.safe.high_c)),
                   "the carrier's labels; old labels off"};
    if (desk.choice.held) sheet.marks.emplace_back("\"Hold for pick-up\", on label and box");
}

std::vector<std::string> checks_of(const care::Species& species) {
    std::vector<std::string> checks{"alert", "eating", "hydrated", "eyes and nose clear",
                                    "no mites or ticks"};
    if (species.group == "frog" || species.group == "salamander") checks.back() = "skin whole and moist";
    return checks;
}

std::vector<care::Advice> cautions_of(const SheetDesk& desk) {
    const planning::PackedBox box{&desk.packing, desk.parcel.contents, desk.parcel.species,
                                  desk.figures.warmest_around_c};
    auto all = planning::box_cautions(desk.workspace, box);
    const care::Beside beside{!desk.packing.warmers.empty(), desk.packing.coolant.has_value(), true};
    for (auto& usual : desk.workspace.advice.cautions(*desk.parcel.species, beside))
        all.push_back(std::move(usual));
    return all;
}

std::vector<care::Rule> rules_of(const SheetDesk& desk) {
    std::vector<const transit::Service*> services;
    if (desk.service != nullptr) services.push_back(desk.service);
    return planning::lane_rules(desk.workspace, *desk.parcel.species, desk.order.place, services,
                                weekly::shells_of(desk.order));
}

std::string arrival_words(const SheetDesk& desk) {
    const Choice& choice = desk.choice;
    return fmt::format("promised {} ({} time); {}", format_local(desk.there, choice.promised),
                       desk.order.place.name,
                       choice.held ? "the buyer collects it at a staffed counter" : "brought to the door");
}

void add_heading(const SheetDesk& desk, Sheet& sheet) {
    const care::Species& species = *desk.parcel.species;
    const Choice& choice = desk.choice;
    sheet.number = desk.order.number;
    sheet.breeder = desk.workspace.breeder;
    sheet.animals = fmt::format("{} x {}", desk.order.animals.size(), species.common);
    sheet.scientific = species.scientific;
    sheet.lane = fmt::format("{} to {}", desk.workspace.origin.name, desk.order.place.name);
    sheet.ship_day = day_with_year(choice.ship_date);
    sheet.be_there = fmt::format("{} by {} at the latest", desk.workspace.counter.name,
                                 format_local_clock(desk.counter, choice.cut_off));
    sheet.service = fmt::format("{}, {}", choice.carrier_label, choice.service_label);
    sheet.arrival = arrival_words(desk);
    sheet.packing = choice.packing_label;
    sheet.bounds = fmt::format("Safe from {} to {}; harm below {} or above {}.",
                               desk.degrees(species.safe.low_c), desk.degrees(species.safe.high_c),
                               desk.degrees(species.harm.low_c), desk.degrees(species.harm.high_c));
}

}  // namespace

bool Sheet::needs_person() const {
    const bool forbidden =
        std::any_of(rules.begin(), rules.end(), [](const auto& rule) { return rule.forbids; });
    return forbidden || verdict != Verdict::comfortable || !alarms.empty();
}

Sheet make_sheet(const SheetSubject& subject) {
    const Workspace& workspace = *subject.workspace;
    const Order& order = *subject.order;
    need_choice(order);
    const SheetDesk desk{
        workspace,
        order,
        *order.choice,
        subject.checked,
        subject.now,
        weekly::why_not_as_planned(order, workspace, subject.limits ? *subject.limits : weekly::Limits{}),
        weekly::parcel_of(order, workspace),
        packing_of(workspace, order),
        workspace.services.by_id(order.choice->service),
        read_figures(order.choice->document),
        find_zone(workspace.origin.zone),
        find_zone(workspace.counter.zone),
        find_zone(order.place.zone)};
    Sheet sheet;
    add_heading(desk, sheet);
    add_state(desk, sheet);
    add_verdict(desk, sheet);
    add_alarms(desk, sheet);
    sheet.rules = rules_of(desk);
    sheet.each_animal = animals_of(desk);
    const PackingTask task{&workspace, &desk.packing, sheet.each_animal, desk.choice.packed};
    add_times(desk, task, sheet);
    sheet.steps = packing_steps(task);
    add_label(desk, sheet);
    sheet.checks = checks_of(*desk.parcel.species);
    sheet.cautions = cautions_of(desk);
    return sheet;
}

}  // namespace mildway::reports
