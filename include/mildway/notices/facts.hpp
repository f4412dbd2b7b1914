// What a message to a buyer tells, before any wording.
#pragma once

#include "mildway/base/place.hpp"
#include "mildway/base/time.hpp"

#include <optional>
#include <string>
#include <vector>

namespace mildway::notices {

/// When and how a parcel is to come.
struct Arrival {
    Date ship_day{};
    Date day{};
    /// When the carrier usually has it there; empty when that is not known. Of one that is held: left empty.
    std::optional<Instant> usual;
    Instant promised;  ///< latest, by the carrier's promise; of one that is held: when it can be collected
    bool held = false;
    std::optional<Instant> closes;  ///< of the counter it is held at, that day
    std::string carrier;
    std::string service;
    /// Handed over on another day than planned: `ship_day` is the true one, and of the rest of times nothing
    /// is known but what the carrier says.
    bool off_plan = false;
    bool late = false;  ///< later than promised
};

/// What is in the box and what it was packed to bear.
struct BoxFacts {
    Instant packed;
    std::optional<Instant> warmer_until;  ///< the shortest-lived warmer gives less than half from then on
};

struct Facts {
    std::string breeder;
    std::string answers_to;  ///< address
    std::string buyer;
    std::string order;    ///< number
    std::string animals;  ///< "3 x corn snake"
    int count = 1;
    std::string group;      ///< of care/species.hpp
    std::string safe_from;  ///< "13 °C", in the buyer's scale
    std::string safe_to;
    std::string room_from;  ///< of a living room in which an animal comes to itself
    std::string room_to;
    double without_water_h = 0;  ///< a caution, never a limit
    Place place;                 ///< where it goes; times are told on its clock
    std::vector<Date> days;      ///< proposed, of arrival
    std::optional<Arrival> arrival;
    std::optional<BoxFacts> box;
    std::optional<Date> told_day;  ///< of arrival, as the buyer was told before; still to come
    std::optional<Arrival> told;   ///< the whole of it, for the calendar
};

}  // namespace mildway::notices
