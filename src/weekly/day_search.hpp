// Another day, or another box on the same day, for planned orders that have something to gain.
#pragma once

#include "mildway/weekly/check.hpp"

#include "lanes.hpp"

#include <cstddef>
#include <memory>
#include <span>
#include <vector>

namespace mildway::weekly {

/// What a check works on. Borrowed.
struct CheckDesk {
    const planning::Workspace& workspace;
    const Limits& limits;
    const weather::ForecastSource& source;  ///< one that remembers
    std::span<const Planned> planned;
    const CheckRequest& request;
    Date today;  ///< at the counter
    std::shared_ptr<weather::SharedDraws> draws;

    [[nodiscard]] const orders::Order& order(std::size_t i) const { return planned[i].order; }
    [[nodiscard]] const orders::Choice& choice(std::size_t i) const { return *planned[i].order.choice; }
    /// A lane of a group's place; services and days are still to be told.
    [[nodiscard]] planning::LaneRequest lane_to(const Group& group) const;
};

/// Searches for the orders that were assessed, those with most to gain first. Different groups may be
/// searched at once.
class DaySearch {
public:
    /// `checked`: what is known of each order, and where better days are told.
    DaySearch(const CheckDesk& desk, std::vector<Checked>& checked);

    /// The groups cut down to the orders that a search is for.
    [[nodiscard]] std::vector<Group> wanted(const std::vector<Group>& groups);
    /// Of one such group; the weather that it saw.
    [[nodiscard]] std::vector<planning::PlaceWeather> search(const Group& group);

    /// Orders beyond the most of one run.
    [[nodiscard]] std::size_t left_out() const { return left_out_; }
    /// Whether it is known what another day would save.
    [[nodiscard]] bool is_known(std::size_t order) const { return known_[order] != 0; }

private:
    [[nodiscard]] bool may_gain(std::size_t i) const;
    [[nodiscard]] bool is_better(std::size_t i, const planning::Option& option) const;
    [[nodiscard]] bool outdoes(const planning::Option& best, const planning::Option& told) const;
    void compare(std::size_t i, std::vector<planning::Option> others);

    const CheckDesk* desk_;
    std::vector<Checked>* checked_;
    std::vector<char> known_;
    std::size_t left_out_ = 0;
};

}  // namespace mildway::weekly
