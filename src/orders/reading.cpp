#include "reading.hpp"

#include <algorithm>
#include <string>

#include <fmt/format.h>

namespace mildway::orders {

namespace {

std::optional<Climate> climate_of(std::string_view name) {
    const auto& names = climate_names();
    const auto at = std::find(names.begin(), names.end(), name);
    if (at == names.end()) return std::nullopt;
    return static_cast<Climate>(at - names.begin());
}

/// Which orders a statement is about: a condition on `o` and the value of ?1.
template <class Value>
struct Filter {
    const char* condition;
    Value value;
};

Place read_place(Query& row) {
    Place place;
    place.name = row.text();
    place.latitude_deg = row.number();
    place.longitude_deg = row.number();
    place.zone = row.text();
    place.climate = row.named(climate_of);
    place.elevation_m = row.maybe_number();
    place.region = row.text();
    return place;
}

/// In the order of the columns in read_rows.
void read_row(Query& row, Order& order) {
    order.id = row.integer();
    order.number = row.text();
    order.state = row.named(state_of);
    order.buyer.name = row.text();
    order.buyer.email = row.text();
    order.buyer.address = row.text();
    order.buyer.scale = row.named(scale_of);
    order.destination = row.text();
    order.place = read_place(row);
    order.species = row.text();
    order.value_usd = row.maybe_number();
    order.earliest_arrival = row.maybe_date();
    order.latest_arrival = row.maybe_date();
    order.note = row.text();
    order.entered = row.instant();
    order.changed = row.instant();
    order.revision = row.integer();
    order.handed_over = row.maybe_instant();
    const bool has_choice = !row.is_null();
    const int version = row.small_integer();
    if (has_choice) order.choice = read_choice(row, version);
}

/// CROSS JOIN: SQLite keeps the order of tables written here, so that rows come by id without sorting.
template <class Value>
std::vector<Order> read_rows(Store& store, const Filter<Value>& which) {
    std::vector<Order> orders;
    Query row(
        store,
        fmt::format("SELECT o.id, o.number, o.state, b.name, b.email, b.address, b.scale, o.destination, "
                    "o.place_name, o.latitude_deg, o.longitude_deg, o.zone, o.climate, o.elevation_m, "
                    "o.region, o.species, o.value_usd, o.earliest_arrival, o.latest_arrival, o.note, "
                    "o.entered, o.changed, o.revision, o.handed_over, c.version, {} "
                    "FROM orders o CROSS JOIN buyers b ON b.id = o.buyer_id "
                    "LEFT JOIN choices c ON c.order_id = o.id AND c.version = o.choice_version "
                    "WHERE {} ORDER BY o.id",
                    kChoiceColumns, which.condition),
        which.value);
    while (row.next()) read_row(row, orders.emplace_back());
    return orders;
}

/// Goes through the rows of a table of details, which come by order id, and calls `add` with the order and
/// the row behind the id's column.
template <class Value, class Add>
void read_details(Store& store, const Filter<Value>& which, std::vector<Order>& orders,
                  std::string_view columns, std::string_view table, std::string_view sequence, Add add) {
    Query row(store,
              fmt::format("SELECT o.id, {} FROM orders o CROSS JOIN {} WHERE {} "
                          "ORDER BY o.id, {}",
                          columns, table, which.condition, sequence),
              which.value);
    auto order = orders.begin();
    while (row.next()) {
        const std::int64_t id = row.integer();
        while (order != orders.end() && order->id < id) ++order;
        if (order != orders.end() && order->id == id) add(*order, row);
    }
}

void add_animal(Order& order, Query& row) {
    Animal& animal = order.animals.emplace_back();
    animal.mark = row.text();
    animal.mass_g = row.maybe_number();
    animal.shell_mm = row.maybe_number();
}

void add_absence(Order& order, Query& row) {
    DateRange& range = order.buyer_away.emplace_back();
    range.from = row.date();
    range.until = row.date();
}

void add_proposed_day(Order& order, Query& row) {
    if (!order.proposal) order.proposal.emplace();
    order.proposal->version = row.small_integer();
    order.proposal->made = row.instant();
    if (row.is_null()) return;  // a proposal of no days
    Proposal::Day& day = order.proposal->days.emplace_back();
    day.ship_date = row.date();
    day.arrival_date = row.date();
    day.verdict = row.named(verdict_of);
}

template <class Value>
std::vector<Order> read(Store& store, const Filter<Value>& which) {
    const Snapshot same_state(store);
    std::vector<Order> orders = read_rows(store, which);
    read_details(store, which, orders, "d.mark, d.mass_g, d.shell_mm", "animals d ON d.order_id = o.id",
                 "d.position", add_animal);
    read_details(store, which, orders, "d.first_day, d.last_day", "buyer_away d ON d.order_id = o.id",
                 "d.first_day", add_absence);
    read_details(store, which, orders, "d.service", "services_allowed d ON d.order_id = o.id", "d.position",
                 [](Order& order, Query& row) { order.services.push_back(row.text()); });
    read_details(
        store, which, orders, "d.version, d.made, e.ship_date, e.arrival_date, e.verdict",
        "proposals d ON d.order_id = o.id AND d.version = o.proposal_version LEFT JOIN proposal_days e "
        "ON e.order_id = d.order_id AND e.version = d.version",
        "e.position", add_proposed_day);
    return orders;
}

}  // namespace

Choice read_choice(Query& row, int version) {
    Choice choice;
    choice.version = version;
    choice.ship_date = row.date();
    choice.service = row.text();
    choice.service_label = row.text();
    choice.carrier_label = row.text();
    choice.packing = row.text();
    choice.packing_label = row.text();
    choice.packed = row.instant();
    choice.handed_over = row.instant();
    choice.cut_off = row.instant();
    choice.promised = row.instant();
    choice.delivery_date = row.date();
    choice.held = row.flag();
    choice.verdict = row.named(verdict_of);
    choice.side = row.named(side_of);
    choice.hours_outside = row.maybe_number();
    choice.chance_outside = row.maybe_number();
    choice.chance_harm = row.maybe_number();
    choice.cost_usd = row.number();
    choice.chosen = row.instant();
    choice.weather_issued = row.instant();
    choice.chosen_by = row.text();
    return choice;
}

std::vector<Order> read_orders(Store& store, State state) {
    return read(store, Filter<std::string_view>{"o.state = ?1", state_name(state)});
}

std::vector<Order> read_order(Store& store, std::int64_t id) {
    return read(store, Filter<std::int64_t>{"o.id = ?1", id});
}

}  // namespace mildway::orders
