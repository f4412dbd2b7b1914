// A planned order of the demo, and its sheet.
#pragma once

#include "mildway/reports/sheet.hpp"

#include "plan_world.hpp"
#include "sheet_packing.hpp"

#include <optional>
#include <string>

namespace mildway::testing {

/// A grown tortoise to Duluth on the Tuesday of the demo week, by the night service.
inline orders::Order planned_order(const std::string& packing_id = "small-38-1w") {
    const auto& workspace = starter();
    const box::Packing& packing = workspace.packings.find(packing_id);
    orders::Order order;
    order.id = 1;
    order.number = "JB-1041";
    order.state = orders::State::planned;
    order.buyer = {"Buyer 01", "buyer-01@example.org", "2 Example Street\nDuluth MN"};
    order.destination = "Duluth MN";
    order.place = *workspace.find_place("Duluth MN");
    order.species = "hermanns-tortoise";
    order.animals = {{"T-07", 28, 120}};
    orders::Choice choice;
    choice.version = 1;
    choice.ship_date = date::year{2027} / 3 / 2;
    choice.service = "night-air";
    choice.service_label = "Night";
    choice.carrier_label = "Northline Parcel";
    choice.packing = packing.id;
    choice.packing_label = packing.label;
    choice.packed = *parse_instant("2027-03-02T22:10:00Z");
    choice.handed_over = *parse_instant("2027-03-02T23:30:00Z");
    choice.cut_off = *parse_instant("2027-03-03T00:30:00Z");
    choice.promised = *parse_instant("2027-03-03T16:30:00Z");
    choice.verdict = Verdict::comfortable;
    choice.hours_outside = 0.1;
    choice.chance_harm = 0.0004;
    choice.chosen = demo_now();
    choice.weather_issued = *parse_instant("2027-03-01T10:00:00Z");
    choice.chosen_by = "week";
    choice.document = R"({"weather_basis": "forecast", "recipe": ")" +
                      reports::whole_recipe(packing, workspace.supplies.warmers) + "\"}";
    order.choice = choice;
    return order;
}

inline reports::Sheet sheet_of(const orders::Order& order, const planning::Workspace& workspace = starter(),
                               Instant now = demo_now(),
                               const std::optional<orders::Reassessment>& checked = std::nullopt,
                               const weekly::Limits& limits = {}) {
    return reports::make_sheet({&workspace, &order, checked, now, &limits});
}

}  // namespace mildway::testing
