// Orders for a list: one row of `orders` and of `buyers` each.
#include "reading.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::orders {

namespace {

OrderLine::Arrival read_arrival(Query& row) {
    OrderLine::Arrival arrival;
    arrival.at = row.instant();
    arrival.zone = row.text();
    arrival.alive = row.small_integer();
    return arrival;
}

/// In the order of the columns in read_lines.
void read_line(Query& row, OrderLine& line) {
    line.id = row.integer();
    line.number = row.text();
    line.buyer = row.text();
    line.destination = row.text();
    line.species = row.text();
    line.animals = row.small_integer();
    line.earliest_arrival = row.maybe_date();
    line.latest_arrival = row.maybe_date();
    if (row.is_null()) return;  // no choice
    line.ship_date = row.date();
    line.delivery_date = row.date();
    line.verdict = row.named(verdict_of);
    line.side = row.named(side_of);
    line.flagged = row.flag();
    if (line.state == State::arrived && !row.is_null()) line.arrival = read_arrival(row);
    if (line.state == State::handed_over) {
        line.handed_over = row.instant();
        line.cut_off = row.instant();
    }
}

void read_proposed(Store& store, std::vector<OrderLine>& lines) {
    Query row(store,
              "SELECT o.id, e.ship_date FROM orders o LEFT JOIN proposal_days e "
              "ON e.order_id = o.id AND e.version = o.proposal_version "
              "WHERE o.state = ?1 AND o.proposal_version IS NOT NULL ORDER BY o.id, e.position",
              state_name(State::open));
    auto line = lines.begin();
    while (row.next()) {
        const std::int64_t id = row.integer();
        line = std::find_if(line, lines.end(), [&](const OrderLine& one) { return one.id >= id; });
        if (line == lines.end()) return;
        if (line->id != id) continue;
        if (!line->proposed) line->proposed.emplace();
        if (!row.is_null()) line->proposed->push_back(row.date());  // a proposal may be of no days
    }
}

/// Columns and the table that only orders of a state need.
struct MoreOf {
    const char* columns = "";
    const char* join = "";
};

MoreOf more_of(State state) {
    if (state == State::arrived)
        return {", u.arrived, o.zone, u.alive", " LEFT JOIN outcomes u ON u.order_id = o.id"};
    if (state == State::handed_over)
        return {", o.handed_over, c.cut_off",
                " JOIN choices c ON c.order_id = o.id AND c.version = o.choice_version"};
    return {};
}

}  // namespace

std::vector<OrderLine> read_lines(Store& store, State state) {
    const Snapshot same_state(store);
    std::vector<OrderLine> lines;
    const MoreOf more = more_of(state);
    {
        Query row(store,
                  fmt::format("SELECT o.id, o.number, iif(b.name = '', b.email, b.name), "
                              "iif(o.place_name = '', o.destination, o.place_name), o.species, "
                              "o.animal_count, o.earliest_arrival, o.latest_arrival, o.told_ship_date, "
                              "o.told_delivery_date, o.told_verdict, o.told_side, o.told_flag{} "
                              "FROM orders o CROSS JOIN buyers b ON b.id = o.buyer_id{} "
                              "WHERE o.state = ?1 ORDER BY o.id",
                              more.columns, more.join),
                  state_name(state));
        while (row.next()) {
            OrderLine& line = lines.emplace_back();
            line.state = state;
            read_line(row, line);
        }
    }
    if (state == State::open) read_proposed(store, lines);
    return lines;
}

}  // namespace mildway::orders
