// Made orders, choices and checks in the demo's world (shared/design.md section 8).
#pragma once

#include "mildway/orders/order_book.hpp"

#include <filesystem>
#include <string>

namespace mildway::testing {

inline Instant at(const char* text) {
    return parse_instant(text).value();
}

inline Date day(const char* text) {
    return parse_date(text).value();
}

inline const Instant kNow = at("2027-03-01T13:00:00Z");

inline orders::Order made_order(const std::string& number, const std::string& email = "") {
    orders::Order order;
    order.number = number;
    order.buyer = {"Buyer One", email, "1 Lake Street\nDuluth MN 55802", TemperatureScale::celsius};
    order.destination = "Duluth MN";
    order.place = {"Duluth MN", 46.7867, -92.1005, "America/Chicago", Climate::western_plain, 214.0, "US-MN"};
    order.species = "hermanns-tortoise";
    order.animals = {{"A1", 28.5, 52.0}, {"A2", std::nullopt, std::nullopt}};
    order.value_usd = 420;
    order.earliest_arrival = day("2027-03-02");
    order.latest_arrival = day("2027-03-20");
    order.buyer_away = {{day("2027-03-05"), day("2027-03-08")}, {day("2027-03-12"), day("2027-03-12")}};
    order.services = {"night", "two-day"};
    order.note = "rings twice";
    return order;
}

inline orders::Choice made_choice(const char* ship_date = "2027-03-02") {
    orders::Choice choice;
    choice.ship_date = day(ship_date);
    choice.service = "night";
    choice.service_label = "Night";
    choice.carrier_label = "Northline Parcel";
    choice.packing = "foam-38-warm-40";
    choice.packing_label = "38 mm + 40 h warmer";
    choice.packed = at("2027-03-02T20:00:00Z");
    choice.handed_over = at("2027-03-02T23:00:00Z");
    choice.cut_off = at("2027-03-03T00:30:00Z");
    choice.promised = at("2027-03-03T16:30:00Z");
    choice.delivery_date = day("2027-03-03");
    choice.held = true;
    choice.verdict = Verdict::tight;
    choice.side = Side::cold;
    choice.hours_outside = 1.25;
    choice.chance_outside = 0.375;
    choice.chance_harm = 0.0078125;
    choice.cost_usd = 61.5;
    choice.chosen = kNow;
    choice.weather_issued = at("2027-03-01T06:00:00Z");
    choice.chosen_by = "week";
    choice.document = R"({"options": [1, 2]})";
    return choice;
}

inline orders::Reassessment made_check(int version, const std::string& sentence = "") {
    orders::Reassessment found;
    found.made = kNow;
    found.choice_version = version;
    found.verdict = Verdict::unsafe;
    found.standing = Verdict::tight;
    found.side = Side::warm;
    found.hours_outside = 2.5;
    found.hours_error = 0.125;
    found.chance_outside = 0.5;
    found.chance_harm = 0.25;
    found.worst_leg = "doorstep";
    found.weather_issued = at("2027-03-01T12:00:00Z");
    found.told_hours = 1.25;
    found.trouble = "you are away on Tue 2 Mar";
    found.flagged = true;
    found.better_service = "night-air";
    found.better_packing = "small-38-1w";
    found.better_day = day("2027-03-04");
    found.better_by_hours = 1.5;
    found.sentence = sentence;
    return found;
}

/// The order, added in a transaction of its own.
inline orders::Order added(orders::OrderBook& book, const orders::Order& order) {
    orders::Change change(book, kNow);
    const orders::Order result = change.add(order);
    change.commit();
    return result;
}

/// Carries `work` out on the order of that number, as it stands now, in a transaction of its own.
template <class Work>
void changed(orders::OrderBook& book, const std::string& number, Work work) {
    const orders::Order order = book.order(number);
    orders::Change change(book, kNow);
    work(change, order);
    change.commit();
}

}  // namespace mildway::testing
