// What differs between two states of an order, and what that means for its plan.
#include "mildway/orders/order_fields.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::orders {

namespace {

bool alike(const Animal& a, const Animal& b) {
    return a.mark == b.mark && a.mass_g == b.mass_g && a.shell_mm == b.shell_mm;
}

bool same_masses(const Order& before, const Order& after) {
    return std::equal(before.animals.begin(), before.animals.end(), after.animals.begin(),
                      after.animals.end(),
                      [](const Animal& a, const Animal& b) { return a.mass_g == b.mass_g; });
}

bool same_place(const Place& a, const Place& b) {
    return format_coordinates(a) == format_coordinates(b) && a.zone == b.zone && a.climate == b.climate;
}

std::string quoted(const std::string& text) {
    return text.empty() ? "none" : "'" + text + "'";
}

/// Another parcel has other figures.
std::vector<std::string> why_other_parcel(const Order& before, const Order& after) {
    std::vector<std::string> reasons;
    if (!same_place(before.place, after.place)) reasons.emplace_back("it was made for another place");
    if (before.species != after.species) reasons.emplace_back("it was made for another species");
    if (before.animals.size() != after.animals.size())
        reasons.emplace_back("it was made for another number of animals");
    else if (!same_masses(before, after))
        reasons.emplace_back("it was made for animals of another mass");
    return reasons;
}

bool allows(const Order& order, const std::string& service) {
    return order.services.empty() ||
           std::find(order.services.begin(), order.services.end(), service) != order.services.end();
}

/// Whether a day that was found with any of the services of `before` could still be had.
bool allows_as_much(const Order& before, const Order& after) {
    if (before.services.empty()) return after.services.empty();
    return std::all_of(before.services.begin(), before.services.end(),
                       [&](const std::string& service) { return allows(after, service); });
}

}  // namespace

std::vector<FieldChange> buyer_differences(const Buyer& before, const Buyer& after) {
    Order one;
    Order other;
    one.buyer = before;
    other.buyer = after;
    return differences(one, other);
}

std::string changes_text(const std::vector<FieldChange>& changes) {
    std::string text;
    for (const FieldChange& change : changes) {
        text += fmt::format("{}{} {} instead of {}", text.empty() ? "" : "; ", change.field,
                            quoted(change.after), quoted(change.before));
    }
    return text;
}

std::vector<FieldChange> differences(const Order& before, const Order& after) {
    std::vector<FieldChange> changes;
    for (std::size_t i = 0; i < kFieldCount; ++i) {
        const auto field = static_cast<Field>(i);
        FieldChange change{std::string(field_name(field)), field_text(before, field),
                           field_text(after, field)};
        if (change.before != change.after) changes.push_back(std::move(change));
    }
    if (format_coordinates(before.place) != format_coordinates(after.place))
        changes.push_back({"place", format_coordinates(before.place), format_coordinates(after.place)});
    if (!std::equal(before.animals.begin(), before.animals.end(), after.animals.begin(), after.animals.end(),
                    alike))
        changes.push_back({"animals", animals_text(before.animals), animals_text(after.animals)});
    return changes;
}

std::vector<std::string> why_plan_ends(const Order& before, const Order& after) {
    std::vector<std::string> reasons = why_other_parcel(before, after);
    if (!before.choice) return reasons;
    const Choice& choice = *before.choice;
    const Date arrival = choice.delivery_date;
    if (after.earliest_arrival && arrival < *after.earliest_arrival)
        reasons.push_back(fmt::format("it arrives {}, before the earliest day", format_day(arrival)));
    if (after.latest_arrival && arrival > *after.latest_arrival)
        reasons.push_back(fmt::format("it arrives {}, after the latest day", format_day(arrival)));
    if (std::any_of(after.buyer_away.begin(), after.buyer_away.end(),
                    [&](const DateRange& range) { return range.from <= arrival && arrival <= range.until; }))
        reasons.push_back(fmt::format("it arrives {}, when the buyer is away", format_day(arrival)));
    if (!allows(after, choice.service))
        reasons.push_back(fmt::format("it goes by '{}', which is not among the services", choice.service));
    return reasons;
}

std::vector<std::string> why_proposal_ends(const Order& before, const Order& after) {
    std::vector<std::string> reasons = why_other_parcel(before, after);
    if (!allows_as_much(before, after)) reasons.emplace_back("it was made for other services");
    return reasons;
}

std::string why_not_wished(const Order& order, Date arrival) {
    if (order.earliest_arrival && arrival < *order.earliest_arrival)
        return "before the earliest day, " + format_day(*order.earliest_arrival);
    if (order.latest_arrival && arrival > *order.latest_arrival)
        return "after the latest day, " + format_day(*order.latest_arrival);
    const bool away =
        std::any_of(order.buyer_away.begin(), order.buyer_away.end(),
                    [&](const DateRange& range) { return range.from <= arrival && arrival <= range.until; });
    return away ? "the buyer is away" : "";
}

}  // namespace mildway::orders
