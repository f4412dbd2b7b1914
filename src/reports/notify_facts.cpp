#include "mildway/reports/notify_facts.hpp"

#include "mildway/planning/explain.hpp"
#include "mildway/weekly/order_parcel.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::reports {

namespace {

using notices::Facts;
using orders::Choice;
using orders::Order;

/// When the carrier usually hands over to the buyer: where the last leg begins.
std::optional<Instant> usual_delivery(const Order& order, const Choice& choice,
                                      const transit::Service& service, const planning::Workspace& workspace) {
    const transit::Lane lane = transit::lane_of(service, {workspace.origin, workspace.counter}, order.place);
    const transit::Route route(service, workspace.settings, lane, workspace.hand_over);
    const auto laid = route.lay(choice.ship_date, choice.chosen);
    const auto* trip = std::get_if<transit::Trip>(&laid);
    if (trip == nullptr || trip->delivery_date != choice.delivery_date ||
        trip->delivered() >= choice.promised)
        return std::nullopt;
    return trip->delivered();
}

std::optional<Instant> closing(const Order& order, const Choice& choice, const transit::Service& service) {
    if (!service.collection) return std::nullopt;
    const auto& span = service.collection->by_weekday[weekday_index(date::sys_days(choice.delivery_date))];
    if (!span) return std::nullopt;
    return to_instant(find_zone(order.place.zone), choice.delivery_date, span->closes);
}

notices::Arrival arrival_of(const Order& order, const Choice& choice, const planning::Workspace& workspace) {
    notices::Arrival arrival;
    arrival.ship_day = choice.ship_date;
    arrival.day = choice.delivery_date;
    arrival.promised = choice.promised;
    arrival.held = choice.held;
    arrival.carrier = choice.carrier_label;
    arrival.service = choice.service_label;
    if (const transit::Service* service = workspace.services.by_id(choice.service)) {
        if (choice.held) {
            arrival.closes = closing(order, choice, *service);
        } else {
            arrival.usual = usual_delivery(order, choice, *service, workspace);
        }
    }
    return arrival;
}

/// When the box was closed, which nobody said: as planned, or as long before the true hand-over as was
/// planned when that is earlier. Never too late: the hours in the box stand beside what an animal can bear.
Instant packed_of(const Order& order, const std::string& counter_zone) {
    const Choice& choice = *order.choice;
    if (!order.handed_over) return choice.packed;
    const Instant before_hand_over = *order.handed_over - (choice.handed_over - choice.packed);
    const bool other_day = local_date(find_zone(counter_zone), *order.handed_over) != choice.ship_date;
    return other_day ? before_hand_over : std::min(choice.packed, before_hand_over);
}

notices::BoxFacts box_of(const Choice& choice, Instant packed, const planning::Workspace& workspace) {
    notices::BoxFacts box{packed, std::nullopt};
    const box::Packing* packing = workspace.packings.by_id(choice.packing);
    if (packing == nullptr) return box;
    for (const box::WarmerUse& use : packing->warmers) {
        const double lasts_h =
            workspace.supplies.warmers.all()[use.type].hours_until_low() - use.opened_before_packing_h;
        const Instant until = date::floor<hours>(packed + seconds(std::lround(lasts_h * 3600)));
        box.warmer_until = std::min(box.warmer_until.value_or(until), until);
    }
    return box;
}

/// A living room in which an animal of the species comes to itself, as far as it does well at such
/// temperatures; judgement.
care::Band waking_room(const care::Species& species) {
    constexpr care::Band kLivingRoom{18, 24};
    const care::Band both{std::max(kLivingRoom.low_c, species.comfort.low_c),
                          std::min(kLivingRoom.high_c, species.comfort.high_c)};
    return both.low_c < both.high_c ? both : species.comfort;
}

void add_species(Facts& facts, const Order& order, const planning::Workspace& workspace) {
    const care::Species& species = *weekly::parcel_of(order, workspace).species;
    const auto degrees = [&](double c) { return planning::temperature_text(c, order.buyer.scale); };
    facts.count = static_cast<int>(order.animals.size());
    facts.animals = fmt::format("{} x {}", facts.count, species.common);
    facts.group = species.group;
    facts.safe_from = degrees(species.safe.low_c);
    facts.safe_to = degrees(species.safe.high_c);
    const care::Band room = waking_room(species);
    facts.room_from = degrees(room.low_c);
    facts.room_to = degrees(room.high_c);
    facts.without_water_h = species.without_water_h;
}

}  // namespace

Facts notify_facts(const Order& order, const notices::Due& due, const planning::Workspace& workspace,
                   const notices::MailSettings& mail, Instant now) {
    Facts facts;
    facts.breeder = mail.from_name;
    facts.answers_to = mail.answers_to();
    facts.buyer = order.buyer.name;
    facts.order = order.number;
    facts.place = order.place;
    add_species(facts, order, workspace);
    const bool over = due.given && due.kind == notices::Kind::window &&
                      due.given->delivery_date < local_date(find_zone(order.place.zone), now);
    if (due.given && !over) {
        facts.told_day = due.given->delivery_date;
        facts.told = arrival_of(order, *due.given, workspace);
    }
    const std::string& zone = workspace.counter.zone;
    if (due.kind == notices::Kind::window) facts.days = notices::days_still_open(order, zone, now);
    if (!order.choice) return facts;
    facts.arrival = arrival_of(order, *order.choice, workspace);
    facts.arrival->late = notices::promise_passed(order, zone, now);
    facts.box = box_of(*order.choice, packed_of(order, zone), workspace);
    if (notices::days_off_plan(order, zone) != 0) {
        facts.arrival->off_plan = true;
        facts.arrival->ship_day = local_date(find_zone(zone), *order.handed_over);
        facts.box->warmer_until.reset();  // when the warmer was opened nobody said
    }
    return facts;
}

}  // namespace mildway::reports
