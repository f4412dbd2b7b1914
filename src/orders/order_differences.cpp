// What differs between two states of an order, and what that means for its plan.
#include "mildway/orders/order_fields.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::orders {

namespace {

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
    if (before.animals != after.animals)
        changes.push_back({"animals", animals_text(before.animals), animals_text(after.animals)});
    return changes;
}

std::vector<std::string> why_plan_ends(const Order& before, const Order& after) {
    std::vector<std::string> reasons = why_other_parcel(before, after);
    if (!before.choice) return reasons;
    const Choice& choice = *before.choice;
    if (const std::string why_not = why_not_arriving(after, choice.delivery_date); !why_not.empty())
        reasons.push_back(fmt::format("it arrives {}: {}", format_day(choice.delivery_date), why_not));
    if (!allows(after, choice.service))
        reasons.push_back(fmt::format("it goes by '{}', which is not among the services", choice.service));
    return reasons;
}

std::vector<std::string> why_proposal_ends(const Order& before, const Order& after) {
    std::vector<std::string> reasons = why_other_parcel(before, after);
    if (!allows_as_much(before, after)) reasons.emplace_back("it was made for other services");
    return reasons;
}

int days_off_plan(Date ship_date, Instant cut_off, Instant handed_over, const date::time_zone& counter) {
    const auto days = date::sys_days(local_date(counter, handed_over)) - date::sys_days(ship_date);
    if (days.count() == 0 && handed_over > cut_off) return 1;
    return static_cast<int>(days.count());
}

}  // namespace mildway::orders
