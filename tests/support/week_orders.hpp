// Orders for plans of a week.
#pragma once

#include "mildway/orders/order.hpp"

#include "plan_world.hpp"

#include <string>

namespace mildway::testing {

/// Open, for one animal.
inline orders::Order open_order(const std::string& number, const std::string& to = "Albany NY",
                                const std::string& species = "corn-snake") {
    orders::Order one;
    one.number = number;
    one.place = *starter().find_place(to);
    one.destination = to;
    one.species = species;
    one.animals = {{}};
    return one;
}

}  // namespace mildway::testing
