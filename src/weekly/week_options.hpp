// What each order may do on each of the days.
#pragma once

#include "mildway/planning/lane_options.hpp"
#include "mildway/weekly/week.hpp"

#include <vector>

namespace mildway::weekly {

/// One way to send an order that keeps all wishes and is fit for the animals.
struct Way {
    planning::Option option;
    std::vector<planning::StockUse> uses;
};

struct OrderWays {
    /// By date; of those with the same date and uses the best only.
    std::vector<Way> ways;
    std::vector<Unfit> unfit;
    std::vector<std::string> left_out;
};

struct WeekWays {
    std::vector<OrderWays> orders;  ///< as those given
    std::vector<planning::PlaceWeather> weather;
};

/// Destinations are shared out among threads; the same on any number of them.
[[nodiscard]] WeekWays ways_of(const planning::Workspace& workspace, const Limits& limits,
                               const weather::ForecastSource& source,
                               const std::vector<const orders::Order*>& orders,
                               const std::vector<StockItem>& stock, const WeekRequest& request);

/// As the choice weighs it: a grade for the verdict; cost with what waiting costs.
[[nodiscard]] planning::Candidate candidate_of(const Way& way, const Limits& limits, Date from);

}  // namespace mildway::weekly
