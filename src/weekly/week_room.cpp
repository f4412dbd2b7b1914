#include "week_room.hpp"

namespace mildway::weekly {

Room::Room(const Week& week) : from_(week.request.from) {
    for (const WeekDay& day : week.days) {
        places_.push_back(day.boxes);
        if (day.boxes) *places_.back() -= day.kept + static_cast<int>(day.orders.size());
    }
    for (const StockItem& item : week.stock) things_.push_back(item.left());
}

std::vector<planning::Limit> Room::lacking(Date day, const std::vector<planning::StockUse>& uses) const {
    std::vector<planning::Limit> limits;
    const std::size_t i = index_of(day);
    if (i < places_.size() && places_[i] && *places_[i] < 1)
        limits.push_back({planning::Limit::Kind::boxes_of_day, i});
    for (const planning::StockUse& use : uses) {
        if (things_[use.resource] < use.count) limits.push_back({planning::Limit::Kind::stock, use.resource});
    }
    return limits;
}

void Room::count(Date day, const std::vector<planning::StockUse>& uses, int sign) {
    const std::size_t i = index_of(day);
    if (i < places_.size() && places_[i]) *places_[i] += sign;
    for (const planning::StockUse& use : uses) things_[use.resource] += sign * use.count;
}

}  // namespace mildway::weekly
