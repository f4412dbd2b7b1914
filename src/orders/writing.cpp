#include "writing.hpp"

#include <iterator>

namespace mildway::orders {

namespace {

const std::string& climate_name(Climate climate) {
    return climate_names()[static_cast<std::size_t>(climate)];
}

}  // namespace

std::int64_t insert_order(Store& store, const Order& order, std::int64_t buyer) {
    const Place& place = order.place;
    Query(
        store,
        "INSERT INTO orders (number, state, buyer_id, destination, place_name, latitude_deg, longitude_deg, "
        "zone, climate, elevation_m, region, species, animal_count, value_usd, earliest_arrival, "
        "latest_arrival, note, entered, changed, revision) VALUES (?1, 'open', ?2, ?3, ?4, ?5, ?6, ?7, ?8, "
        "?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18, 1)",
        order.number, buyer, order.destination, place.name, place.latitude_deg, place.longitude_deg,
        place.zone, climate_name(place.climate), place.elevation_m, place.region, order.species,
        std::ssize(order.animals), order.value_usd, order.earliest_arrival, order.latest_arrival, order.note,
        order.entered, order.changed)
        .run();
    return store.last_id();
}

void update_order(Store& store, const Order& order, std::int64_t buyer) {
    const Place& place = order.place;
    Query(
        store,
        "UPDATE orders SET number = ?2, buyer_id = ?3, destination = ?4, place_name = ?5, latitude_deg = ?6, "
        "longitude_deg = ?7, zone = ?8, climate = ?9, elevation_m = ?10, region = ?11, species = ?12, "
        "animal_count = ?13, value_usd = ?14, earliest_arrival = ?15, latest_arrival = ?16, note = ?17 "
        "WHERE id = ?1",
        order.id, order.number, buyer, order.destination, place.name, place.latitude_deg, place.longitude_deg,
        place.zone, climate_name(place.climate), place.elevation_m, place.region, order.species,
        std::ssize(order.animals), order.value_usd, order.earliest_arrival, order.latest_arrival, order.note)
        .run();
}

void write_details(Store& store, const Order& order) {
    Query(store, "DELETE FROM animals WHERE order_id = ?1", order.id).run();
    Query(store, "DELETE FROM buyer_away WHERE order_id = ?1", order.id).run();
    Query(store, "DELETE FROM services_allowed WHERE order_id = ?1", order.id).run();
    int position = 0;
    for (const Animal& animal : order.animals) {
        Query(store, "INSERT INTO animals VALUES (?1, ?2, ?3, ?4, ?5)", order.id, ++position, animal.mark,
              animal.mass_g, animal.shell_mm)
            .run();
    }
    for (const DateRange& range : order.buyer_away)
        Query(store, "INSERT INTO buyer_away VALUES (?1, ?2, ?3)", order.id, range.from, range.until).run();
    position = 0;
    for (const std::string& service : order.services)
        Query(store, "INSERT INTO services_allowed VALUES (?1, ?2, ?3)", order.id, ++position, service).run();
}

void write_choice(Store& store, std::int64_t order, const Choice& choice) {
    Query(
        store,
        "INSERT INTO choices (order_id, version, ship_date, service, service_label, carrier_label, packing, "
        "packing_label, packed, handed_over, cut_off, promised, delivery_date, held, verdict, side, "
        "hours_outside, chance_outside, chance_harm, cost_usd, chosen, weather_issued, chosen_by) VALUES "
        "(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18, ?19, ?20, ?21, "
        "?22, ?23)",
        order, choice.version, choice.ship_date, choice.service, choice.service_label, choice.carrier_label,
        choice.packing, choice.packing_label, choice.packed, choice.handed_over, choice.cut_off,
        choice.promised, choice.delivery_date, choice.held, verdict_name(choice.verdict),
        side_name(choice.side), choice.hours_outside, choice.chance_outside, choice.chance_harm,
        choice.cost_usd, choice.chosen, choice.weather_issued, choice.chosen_by)
        .run();
    if (choice.document.empty()) return;
    Query(store, "INSERT INTO choice_documents (order_id, version, document) VALUES (?1, ?2, ?3)", order,
          choice.version, choice.document)
        .run();
}

void write_proposal(Store& store, std::int64_t order, const Proposal& proposal) {
    Query(store, "INSERT INTO proposals VALUES (?1, ?2, ?3)", order, proposal.version, proposal.made).run();
    int position = 0;
    for (const Proposal::Day& day : proposal.days) {
        Query(store, "INSERT INTO proposal_days VALUES (?1, ?2, ?3, ?4, ?5, ?6)", order, proposal.version,
              ++position, day.ship_date, day.arrival_date, verdict_name(day.verdict))
            .run();
    }
}

void write_outcome(Store& store, std::int64_t order, const Outcome& outcome) {
    Query(store, "INSERT INTO outcomes VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)", order, outcome.arrived,
          outcome.alive, outcome.well, outcome.inside_c, outcome.logger_name, outcome.note)
        .run();
    if (outcome.logger_bytes.empty()) return;
    Query(store, "INSERT INTO logger_files VALUES (?1, ?2)", order, Blob{outcome.logger_bytes}).run();
}

void put_in_force(Store& store, std::int64_t order, const Choice& choice) {
    Query(store,
          "UPDATE orders SET state = 'planned', choice_version = ?2, told_ship_date = ?3, "
          "told_delivery_date = ?4, told_verdict = ?5, told_side = ?6, told_flag = 0 WHERE id = ?1",
          order, choice.version, choice.ship_date, choice.delivery_date, verdict_name(choice.verdict),
          side_name(choice.side))
        .run();
}

void put_out_of_force(Store& store, std::int64_t order, State state) {
    Query(store,
          "UPDATE orders SET state = ?2, choice_version = NULL, told_ship_date = NULL, "
          "told_delivery_date = NULL, told_verdict = NULL, told_side = NULL, told_flag = NULL WHERE id = ?1",
          order, state_name(state))
        .run();
}

bool write_reassessment(Store& store, const Order& order, const Reassessment& found) {
    Query telling(store,
                  "UPDATE orders SET told_verdict = ?3, told_side = ?4, told_flag = ?5 "
                  "WHERE id = ?1 AND state = 'planned' AND choice_version = ?2 AND revision = ?6",
                  order.id, found.choice_version, verdict_name(found.standing), side_name(found.side),
                  found.flagged, order.revision);
    if (telling.run() == 0) return false;
    Query(store,
          "INSERT INTO reassessments (order_id, choice_version, made, verdict, standing, side, "
          "hours_outside, hours_error, chance_outside, chance_harm, worst_leg, weather_issued, told_hours, "
          "trouble, flagged, better_day, better_service, better_packing, better_by_hours, sentence) "
          "VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18, ?19, "
          "?20)",
          order.id, found.choice_version, found.made, verdict_name(found.verdict),
          verdict_name(found.standing), side_name(found.side), found.hours_outside, found.hours_error,
          found.chance_outside, found.chance_harm, found.worst_leg, found.weather_issued, found.told_hours,
          found.trouble, found.flagged, found.better_day, found.better_service, found.better_packing,
          found.better_by_hours, found.sentence)
        .run();
    return true;
}

void write_event(Store& store, std::int64_t order, Instant at, std::string_view kind, std::string_view text) {
    Query(store, "INSERT INTO events (order_id, at, kind, text) VALUES (?1, ?2, ?3, ?4)", order, at, kind,
          text)
        .run();
}

}  // namespace mildway::orders
