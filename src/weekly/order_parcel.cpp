#include "mildway/weekly/order_parcel.hpp"

#include <fmt/format.h>

namespace mildway::weekly {

namespace {

[[noreturn]] void unknown_in(const orders::Order& order, const planning::Workspace& workspace,
                             const char* file, const char* what) {
    throw InputError((workspace.folder / file).string(), "", 0,
                     fmt::format("order {}: {}", order.number, what));
}

const care::Species& species_of(const orders::Order& order, const planning::Workspace& workspace) {
    try {
        return workspace.species.find(order.species);
    } catch (const UsageError& error) {
        unknown_in(order, workspace, "species.json", error.what());
    }
}

}  // namespace

planning::Parcel parcel_of(const orders::Order& order, const planning::Workspace& workspace) {
    planning::Parcel parcel;
    parcel.species = &species_of(order, workspace);
    double mass_g = 0;
    for (const orders::Animal& animal : order.animals)
        mass_g += animal.mass_g.value_or(parcel.species->mass_g);
    const auto count = static_cast<int>(order.animals.size());
    parcel.contents = {count, mass_g / 1000 / count};
    for (const box::Packing& packing : workspace.packings.all()) parcel.packings.push_back(&packing);
    parcel.value_usd = order.value_usd;
    return parcel;
}

std::vector<const transit::Service*> services_of(const orders::Order& order,
                                                 const planning::Workspace& workspace) {
    std::vector<const transit::Service*> services;
    try {
        for (const std::string& id : order.services) services.push_back(&workspace.services.find(id));
    } catch (const UsageError& error) {
        unknown_in(order, workspace, "services.json", error.what());
    }
    if (order.services.empty()) {
        for (const transit::Service& service : workspace.services.all()) services.push_back(&service);
    }
    return services;
}

std::string what_is_gone(const orders::Order& order, const planning::Workspace& workspace) {
    if (workspace.species.by_id(order.species) == nullptr)
        return fmt::format("species.json has no '{}' any more", order.species);
    for (const std::string& id : order.services) {
        if (workspace.services.by_id(id) == nullptr)
            return fmt::format("services.json has no '{}' any more, which the order may travel by", id);
    }
    return "";
}

std::vector<std::optional<double>> shells_of(const orders::Order& order) {
    std::vector<std::optional<double>> shells;
    for (const orders::Animal& animal : order.animals) shells.push_back(animal.shell_mm);
    return shells;
}

std::string place_key(const orders::Order& order) {
    return fmt::format("{} {}", format_coordinates(order.place), order.place.zone);
}

}  // namespace mildway::weekly
