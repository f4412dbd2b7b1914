#include "order_json.hpp"

#include "mildway/orders/order_fields.hpp"

#include "json_parts.hpp"

#include <nlohmann/json.hpp>

namespace mildway::reports {

using nlohmann::ordered_json;

namespace {

ordered_json day_or_null(const std::optional<Date>& day) {
    return day ? ordered_json(format_date(*day)) : ordered_json(nullptr);
}

ordered_json place_json(const Place& place) {
    return {{"name", place.name},
            {"latitude_deg", place.latitude_deg},
            {"longitude_deg", place.longitude_deg},
            {"zone", place.zone},
            {"climate", climate_names().at(static_cast<std::size_t>(place.climate))},
            {"elevation_m", or_null(place.elevation_m)},
            {"region", place.region}};
}

ordered_json proposal_json(const orders::Proposal& proposal) {
    ordered_json json{{"version", proposal.version}, {"made", format_instant(proposal.made)}};
    json["days"] = ordered_json::array();
    for (const auto& day : proposal.days) {
        json["days"].push_back({{"ship_date", format_date(day.ship_date)},
                                {"arrival_date", format_date(day.arrival_date)},
                                {"verdict", verdict_name(day.verdict)}});
    }
    return json;
}

}  // namespace

ordered_json choice_json(const orders::Choice& choice) {
    return {{"version", choice.version},
            {"ship_date", format_date(choice.ship_date)},
            {"service", choice.service},
            {"service_label", choice.service_label},
            {"carrier", choice.carrier_label},
            {"packing", choice.packing},
            {"packing_label", choice.packing_label},
            {"packed", format_instant(choice.packed)},
            {"handed_over", format_instant(choice.handed_over)},
            {"cut_off", format_instant(choice.cut_off)},
            {"promised", format_instant(choice.promised)},
            {"delivery_date", format_date(choice.delivery_date)},
            {"held", choice.held},
            {"verdict", verdict_name(choice.verdict)},
            {"side", side_name(choice.side)},
            {"outside_h", or_null(choice.hours_outside)},
            {"chance_outside_30_minutes", or_null(choice.chance_outside)},
            {"chance_harm", or_null(choice.chance_harm)},
            {"cost_usd", choice.cost_usd},
            {"chosen", format_instant(choice.chosen)},
            {"weather_issued", format_instant(choice.weather_issued)},
            {"chosen_by", choice.chosen_by}};
}

ordered_json reassessment_json(const orders::Reassessment& found) {
    return {{"made", format_instant(found.made)},
            {"choice_version", found.choice_version},
            {"verdict", verdict_name(found.verdict)},
            {"standing", verdict_name(found.standing)},
            {"side", side_name(found.side)},
            {"outside_h", or_null(found.hours_outside)},
            {"outside_error_h", or_null(found.hours_error)},
            {"chance_outside_30_minutes", or_null(found.chance_outside)},
            {"chance_harm", or_null(found.chance_harm)},
            {"worst_leg", found.worst_leg},
            {"weather_issued", format_instant(found.weather_issued)},
            {"trouble", text_or_null(found.trouble)},
            {"flagged", found.flagged},
            {"better_day", day_or_null(found.better_day)},
            {"better_service", text_or_null(found.better_service)},
            {"better_packing", text_or_null(found.better_packing)},
            {"better_by_h", found.better_by_hours},
            {"sentence", found.sentence}};
}

ordered_json outcome_json(const orders::Outcome& outcome) {
    return {{"arrived", format_instant(outcome.arrived)},
            {"alive", outcome.alive},
            {"well", outcome.well},
            {"inside_c", or_null(outcome.inside_c)},
            {"logger_name", outcome.logger_name},
            {"note", outcome.note}};
}

ordered_json order_json(const orders::Order& order) {
    ordered_json json{{"number", order.number}, {"state", state_name(order.state)}};
    json["buyer"] = {{"name", order.buyer.name},
                     {"email", order.buyer.email},
                     {"address", order.buyer.address},
                     {"scale", scale_name(order.buyer.scale)}};
    json["to"] = order.destination;
    json["place"] = place_json(order.place);
    json["species"] = order.species;
    json["animals"] = ordered_json::array();
    for (const auto& animal : order.animals) {
        json["animals"].push_back({{"mark", animal.mark},
                                   {"mass_g", or_null(animal.mass_g)},
                                   {"shell_mm", or_null(animal.shell_mm)}});
    }
    json["value_usd"] = or_null(order.value_usd);
    json["earliest"] = day_or_null(order.earliest_arrival);
    json["latest"] = day_or_null(order.latest_arrival);
    json["away"] = ordered_json::array();
    for (const auto& range : order.buyer_away)
        json["away"].push_back({{"from", format_date(range.from)}, {"until", format_date(range.until)}});
    json["services"] = order.services;
    json["note"] = order.note;
    json["entered"] = format_instant(order.entered);
    json["changed"] = format_instant(order.changed);
    json["revision"] = order.revision;
    json["choice"] = order.choice ? choice_json(*order.choice) : ordered_json(nullptr);
    json["proposal"] = order.proposal ? proposal_json(*order.proposal) : ordered_json(nullptr);
    return json;
}

ordered_json changes_json(const std::vector<orders::FieldChange>& changes) {
    ordered_json all = ordered_json::array();
    for (const auto& change : changes)
        all.push_back({{"field", change.field}, {"before", change.before}, {"after", change.after}});
    return all;
}

ordered_json order_file_json(const OrderFile& file) {
    ordered_json json = order_json(file.order);
    for (const char* list : {"choices", "reassessments", "events"}) json[list] = ordered_json::array();
    for (const auto& choice : file.choices) json["choices"].push_back(choice_json(choice));
    for (const auto& found : file.reassessments) json["reassessments"].push_back(reassessment_json(found));
    for (const auto& event : file.events)
        json["events"].push_back(
            {{"at", format_instant(event.at)}, {"kind", event.kind}, {"text", event.text}});
    json["outcome"] = file.outcome ? outcome_json(*file.outcome) : ordered_json(nullptr);
    return json;
}

std::string order_show_json(const OrderFile& file) {
    ordered_json json{{"document", "mildway order show"}, {"version", 1}};
    json.update(order_file_json(file));
    const bool kept = file.order.choice && !file.order.choice->document.empty();
    json["choice_document"] = kept ? ordered_json::parse(file.order.choice->document) : ordered_json(nullptr);
    return json.dump(2, ' ', false, ordered_json::error_handler_t::replace) + "\n";
}

std::string order_export_json(const std::vector<OrderFile>& files) {
    ordered_json json{{"document", "mildway order export"}, {"version", 1}};
    json["orders"] = ordered_json::array();
    for (const OrderFile& file : files) json["orders"].push_back(order_file_json(file));
    return json.dump(2, ' ', false, ordered_json::error_handler_t::replace) + "\n";
}

std::string order_changed_json(const std::string& document, const orders::Order& order) {
    ordered_json json{{"document", document}, {"version", 1}};
    json["order"] = order_json(order);
    return json.dump(2, ' ', false, ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace mildway::reports
