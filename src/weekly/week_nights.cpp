#include "week_nights.hpp"

#include "mildway/odds/late_together.hpp"

#include <map>

namespace mildway::weekly {

namespace {

constexpr std::uint32_t kNights = 1u << 16;  // one standard error of a chance of 1 in 100: 0.04 in 100

const std::string& where_it_passes(const planning::Workspace& workspace, const planning::Option& option) {
    return option.service->hubs.empty() ? workspace.counter.name : option.service->hubs.front().name;
}

/// Share of sampled nights with two or more late parcels.
double chance_of_two(const std::string& night, const std::vector<const WeekOrder*>& parcels,
                     std::uint64_t seed) {
    std::vector<int> late(kNights, 0);
    std::vector<std::uint8_t> days(kNights);
    for (const WeekOrder* parcel : parcels) {
        const planning::Option& option = *parcel->chosen;
        odds::LateDraws(seed, night, parcel->order.number, option.service->late_together)
            .days(option.assessment.late, 0, days);
        for (std::uint32_t i = 0; i < kNights; ++i) late[i] += days[i] > 0 ? 1 : 0;
    }
    std::uint32_t two = 0;
    for (const int count : late) two += count >= 2 ? 1 : 0;
    return static_cast<double>(two) / kNights;
}

}  // namespace

double chance_of_two_apart(const std::vector<double>& chances) {
    double none = 1;
    double one = 0;
    for (const double chance : chances) {
        one = one * (1 - chance) + none * chance;
        none *= 1 - chance;
    }
    return 1 - none - one;
}

std::vector<SharedNight> shared_nights(const planning::Workspace& workspace,
                                       const std::vector<WeekOrder>& orders, std::uint64_t seed) {
    std::map<std::pair<Date, std::string>, std::vector<const WeekOrder*>> nights;
    for (const WeekOrder& order : orders) {
        if (order.chosen)
            nights[{order.chosen->ship_date, where_it_passes(workspace, *order.chosen)}].push_back(&order);
    }
    std::vector<SharedNight> shared;
    for (const auto& [of, parcels] : nights) {
        if (parcels.size() < 2) continue;
        SharedNight night{odds::night_key(of.second, of.first), of.second, of.first, {}, 0, 0};
        std::vector<double> chances;
        for (const WeekOrder* parcel : parcels) {
            night.numbers.push_back(parcel->order.number);
            chances.push_back(parcel->chosen->assessment.late.late());
        }
        night.two_or_more = chance_of_two(night.night, parcels, seed);
        night.two_or_more_apart = chance_of_two_apart(chances);
        shared.push_back(std::move(night));
    }
    return shared;
}

}  // namespace mildway::weekly
