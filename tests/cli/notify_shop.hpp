// A workspace with planned orders whose buyers are to be told.
#pragma once

#include "mildway/orders/order_book.hpp"
#include "mildway/orders/outbox.hpp"

#include "catch.hpp"
#include "command.hpp"

#include <string>
#include <vector>

namespace mildway::testing {

using namespace date::literals;

inline const Instant kEntered = date::sys_days(2027_y / 2 / 25) + hours(8);

inline orders::Choice choice_for(Date ship, const std::string& service) {
    orders::Choice choice;
    choice.ship_date = ship;
    choice.delivery_date = Date(date::sys_days(ship) + date::days(1));
    choice.service = service;
    choice.service_label = "Night";
    choice.carrier_label = "Northline Parcel";
    choice.packing = "small-38-1w";
    choice.packing_label = "38 mm + 40 h warmer";
    choice.held = service == "night-air+held";
    choice.packed = date::sys_days(ship) + hours(22);
    choice.handed_over = choice.packed + minutes(80);
    choice.cut_off = choice.packed + minutes(140);
    choice.promised = date::sys_days(choice.delivery_date) + hours(16) + minutes(30);
    choice.verdict = Verdict::comfortable;
    choice.chosen = kEntered;
    choice.weather_issued = kEntered;
    choice.chosen_by = "plan";
    choice.document = "{}";
    return choice;
}

/// A workspace with planned orders "1" to "n", and where its mail goes.
struct Shop {
    TempWorkspace workspace;

    explicit Shop(int orders, int port = 25) {
        workspace.edit("mail.json", "\"port\": 25", "\"port\": " + std::to_string(port));
        workspace.edit("mail.json", "\"none-local-only\"",
                       "\"none-local-only\", \"answer_timeout_seconds\": 20");
        for (int i = 1; i <= orders; ++i) add("buyer-" + std::to_string(i) + "@example.org");
    }
    void add(const std::string& email) const {
        orders::Order order;
        order.buyer = {"Jürgen Müller", email, "", TemperatureScale::fahrenheit};
        order.destination = "Duluth MN";
        order.place = {"Duluth MN", 46.7867, -92.1005, "America/Chicago"};
        order.species = "corn-snake";
        order.animals = {{}};
        auto book = open();
        orders::Change change(book, kEntered);
        order = change.add(order);
        change.commit();
        plan(order.number, 2027_y / 3 / 1, "night-air");
    }
    void plan(const std::string& number, Date ship, const std::string& service) const {
        auto book = open();
        const auto order = book.order(number);
        orders::Change change(book, kEntered);
        (void)change.choose(order, choice_for(ship, service));
        change.commit();
    }
    /// What the newest check says of its plan.
    void checked(const std::string& number, Verdict standing) const {
        auto book = open();
        const auto order = book.order(number);
        orders::Change change(book, kEntered);
        orders::Reassessment found;
        found.made = found.weather_issued = kEntered;
        found.choice_version = order.choice->version;
        found.verdict = found.standing = standing;
        REQUIRE(change.reassess(order, found));
        change.commit();
    }
    [[nodiscard]] orders::OrderBook open() const {
        return orders::OrderBook(workspace.path() / orders::kBookFile, orders::OrderBook::Access::write);
    }
    [[nodiscard]] std::vector<orders::Message> outbox() const {
        auto book = open();
        return orders::Outbox(book).messages();
    }
    [[nodiscard]] Outcome notify(const Arguments& more = {}, const char* clock = kMonday) const {
        Arguments all{"notify"};
        all.insert(all.end(), more.begin(), more.end());
        return run_in(workspace, all, clock);
    }
    [[nodiscard]] Outcome order(const Arguments& more, const char* clock = kMonday) const {
        Arguments all{"order"};
        all.insert(all.end(), more.begin(), more.end());
        return run_in(workspace, all, clock);
    }
};

}  // namespace mildway::testing
