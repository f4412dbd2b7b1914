// Made-up weeks: orders, days, stocks, and ways to go.
#pragma once

#include "mildway/planning/assignment.hpp"

#include <cstdint>
#include <random>

namespace mildway::testing {

/// Whole numbers from a seed, the same on every machine.
class Dice {
public:
    explicit Dice(std::uint64_t seed) : engine_(seed) {}
    /// 0 to n - 1.
    std::size_t below(std::size_t n) { return static_cast<std::size_t>(engine_() % n); }

private:
    std::mt19937_64 engine_;
};

struct Shape {
    std::size_t orders = 5;
    std::size_t days = 4;
    std::size_t resources = 2;
    std::size_t ways = 2;  ///< at most, of each order and day
    bool trips = true;
};

/// Limits bind, hours tie now and then, and some days are out for some orders.
inline planning::AssignmentProblem made_problem(const Shape& shape, std::uint64_t seed) {
    Dice dice(seed * 7919 + 13);
    planning::AssignmentProblem problem;
    problem.orders = shape.orders;
    problem.days.resize(shape.days);
    for (planning::AssignmentDay& day : problem.days) {
        if (dice.below(3) != 0) day.boxes = static_cast<int>(dice.below(shape.orders / 2 + 2));
        day.trip_made = dice.below(6) == 0;
    }
    for (std::size_t i = 0; i < shape.resources; ++i)
        problem.stock.push_back(static_cast<int>(dice.below(shape.orders + 2)));
    if (shape.trips) problem.trip_usd = static_cast<double>(dice.below(40));
    for (std::size_t order = 0; order < shape.orders; ++order) {
        for (std::size_t day = 0; day < shape.days; ++day) {
            const std::size_t ways = dice.below(shape.ways + 1);
            for (std::size_t way = 0; way < ways; ++way) {
                planning::Candidate one{order,
                                        day,
                                        static_cast<std::uint32_t>(way),
                                        0.1 * static_cast<double>(dice.below(25)),
                                        static_cast<int>(dice.below(2)),
                                        40 + 0.5 * static_cast<double>(dice.below(60)),
                                        {}};
                for (std::size_t resource = 0; resource < shape.resources; ++resource) {
                    if (dice.below(2) == 0) one.uses.push_back({resource, static_cast<int>(dice.below(3))});
                }
                problem.candidates.push_back(std::move(one));
            }
        }
    }
    return problem;
}

}  // namespace mildway::testing
