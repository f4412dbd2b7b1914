// What happened to an order: choices, checks, events, how it arrived.
#include "mildway/orders/order_book.hpp"

#include "book_parts.hpp"
#include "reading.hpp"

#include <string_view>

#include <fmt/format.h>

namespace mildway::orders {

namespace {

constexpr const char* kReassessmentColumns =
    "made, choice_version, verdict, standing, side, hours_outside, hours_error, chance_outside, chance_harm, "
    "worst_leg, weather_issued, told_hours, trouble, flagged, better_day, better_service, better_packing, "
    "better_by_hours, sentence";

/// In the order of kReassessmentColumns.
Reassessment read_reassessment(Query& row) {
    Reassessment found;
    found.made = row.instant();
    found.choice_version = row.small_integer();
    found.verdict = row.named(verdict_of);
    found.standing = row.named(verdict_of);
    found.side = row.named(side_of);
    found.hours_outside = row.maybe_number();
    found.hours_error = row.maybe_number();
    found.chance_outside = row.maybe_number();
    found.chance_harm = row.maybe_number();
    found.worst_leg = row.text();
    found.weather_issued = row.instant();
    found.told_hours = row.maybe_number();
    found.trouble = row.text();
    found.flagged = row.flag();
    found.better_day = row.maybe_date();
    found.better_service = row.text();
    found.better_packing = row.text();
    found.better_by_hours = row.number();
    found.sentence = row.text();
    return found;
}

}  // namespace

std::vector<Event> OrderBook::events(std::int64_t order) const {
    Store& store = parts_->store;
    return store.guarded([&] {
        std::vector<Event> events;
        Query row(store, "SELECT at, kind, text FROM events WHERE order_id = ?1 ORDER BY id", order);
        while (row.next()) {
            Event& event = events.emplace_back();
            event.at = row.instant();
            event.kind = row.text();
            event.text = row.text();
        }
        return events;
    });
}

std::vector<Choice> OrderBook::choices(std::int64_t order) const {
    Store& store = parts_->store;
    return store.guarded([&] {
        std::vector<Choice> choices;
        Query row(store,
                  fmt::format("SELECT c.version, {}, d.document FROM choices c LEFT JOIN choice_documents d "
                              "ON d.order_id = c.order_id AND d.version = c.version "
                              "WHERE c.order_id = ?1 ORDER BY c.version",
                              kChoiceColumns),
                  order);
        while (row.next()) {
            const int version = row.small_integer();
            choices.push_back(read_choice(row, version));
            choices.back().document = row.text();
        }
        return choices;
    });
}

std::vector<Reassessment> OrderBook::reassessments(std::int64_t order) const {
    Store& store = parts_->store;
    return store.guarded([&] {
        std::vector<Reassessment> all;
        Query row(
            store,
            fmt::format("SELECT {} FROM reassessments WHERE order_id = ?1 ORDER BY id", kReassessmentColumns),
            order);
        while (row.next()) all.push_back(read_reassessment(row));
        return all;
    });
}

std::vector<std::optional<Reassessment>> OrderBook::newest_reassessments(
    const std::vector<Order>& orders) const {
    Store& store = parts_->store;
    return store.guarded([&] {
        const Snapshot same_state(store);
        std::vector<std::optional<Reassessment>> newest(orders.size());
        const std::string sql = fmt::format(
            "SELECT {} FROM reassessments WHERE order_id = ?1 AND choice_version = ?2 ORDER BY id DESC LIMIT "
            "1",
            kReassessmentColumns);
        for (std::size_t i = 0; i < orders.size(); ++i) {
            if (!orders[i].choice) continue;
            Query row(store, sql, orders[i].id, orders[i].choice->version);
            if (row.next()) newest[i] = read_reassessment(row);
        }
        return newest;
    });
}

std::optional<Outcome> OrderBook::outcome(std::int64_t order) const {
    Store& store = parts_->store;
    return store.guarded([&]() -> std::optional<Outcome> {
        Query row(store,
                  "SELECT arrived, alive, well, inside_c, logger_name, note, bytes FROM outcomes o "
                  "LEFT JOIN logger_files f ON f.order_id = o.order_id WHERE o.order_id = ?1",
                  order);
        if (!row.next()) return std::nullopt;
        Outcome outcome;
        outcome.arrived = row.instant();
        outcome.alive = row.small_integer();
        outcome.well = row.small_integer();
        outcome.inside_c = row.maybe_number();
        outcome.logger_name = row.text();
        outcome.note = row.text();
        outcome.logger_bytes = row.text();
        return outcome;
    });
}

}  // namespace mildway::orders
