// Which options of a week are worth assessing, by a first look at all of them (odds/sketch.hpp).
#pragma once

#include "mildway/planning/lane_options.hpp"
#include "mildway/weekly/week.hpp"

#include "week_stock.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>
#include <utility>
#include <vector>

namespace mildway::weekly {

/// Uses as something that can be compared.
[[nodiscard]] inline std::vector<std::pair<std::size_t, int>> plain(
    const std::vector<planning::StockUse>& uses) {
    std::vector<std::pair<std::size_t, int>> pairs;
    for (const planning::StockUse& use : uses) pairs.emplace_back(use.resource, use.count);
    return pairs;
}

/// What is worth a full assessment, by a first look: of each day and use of stock, the options with the
/// fewest hours outside and the smallest chances, and the cheapest of those that are nearly as good. Days
/// without a first look keep all.
class Worthwhile {
public:
    using Key = std::tuple<Date, const transit::Service*, const box::Packing*>;

    Worthwhile(const std::vector<planning::SketchedOption>& sketched, const planning::Workspace& workspace,
               const std::vector<StockItem>& stock) {
        std::map<std::pair<Date, std::vector<std::pair<std::size_t, int>>>,
                 std::vector<const planning::SketchedOption*>>
            alike;
        for (const planning::SketchedOption& option : sketched) {
            looked_at_.insert({option.ship_date, option.service});
            alike[{option.ship_date, plain(uses_of(*option.packing, workspace, stock))}].push_back(&option);
        }
        for (auto& [day_and_uses, options] : alike) keep_best(options);
    }

    [[nodiscard]] bool has(const Key& key) const {
        return kept_.contains(key) || !looked_at_.contains({std::get<0>(key), std::get<1>(key)});
    }

private:
    /// Hours of a first look may be off by about as much, after 128 scenarios of each case.
    static constexpr double kNearly_h = 0.3;
    static constexpr std::size_t kCheapest = 2;

    void keep(const planning::SketchedOption& option) {
        kept_.insert({option.ship_date, option.service, option.packing});
    }

    /// The least by hours, and by each of the two chances that make a verdict: fewest hours may go with a
    /// greater chance of harm.
    void keep_best(std::vector<const planning::SketchedOption*>& options) {
        const auto least = [&](double odds::Sketch::*figure) -> const planning::SketchedOption& {
            return **std::min_element(options.begin(), options.end(), [&](const auto* a, const auto* b) {
                return std::pair(a->sketch.*figure, a->sketch.hours_outside) <
                       std::pair(b->sketch.*figure, b->sketch.hours_outside);
            });
        };
        const planning::SketchedOption& best = least(&odds::Sketch::hours_outside);
        keep(best);
        keep(least(&odds::Sketch::chance_harm));
        keep(least(&odds::Sketch::chance_outside));
        std::erase_if(options, [&](const auto* option) {
            return option->sketch.hours_outside > best.sketch.hours_outside + kNearly_h;
        });
        std::stable_sort(options.begin(), options.end(),
                         [](const auto* a, const auto* b) { return a->cost_usd < b->cost_usd; });
        for (std::size_t i = 0; i < std::min(kCheapest, options.size()); ++i) keep(*options[i]);
    }

    std::set<Key> kept_;
    std::set<std::pair<Date, const transit::Service*>> looked_at_;
};

/// Options that were passed over and may yet be fit, on days of which nothing fit is known: whether one is
/// can only be told by assessing it.
class Doubtful {
public:
    Doubtful(const std::vector<planning::SketchedOption>& sketched, const Worthwhile& seen,
             const planning::ParcelOptions& assessed, const planning::VerdictLimits& limits, Verdict worst) {
        std::set<Date> fit;
        for (const planning::Option& option : assessed.options) {
            if (option.verdict <= worst) fit.insert(option.ship_date);
        }
        for (const planning::SketchedOption& option : sketched) {
            const Worthwhile::Key key{option.ship_date, option.service, option.packing};
            if (!fit.contains(option.ship_date) && !seen.has(key) && may_be_fit(option.sketch, limits))
                keys_.insert(key);
        }
    }

    [[nodiscard]] bool any() const { return !keys_.empty(); }
    [[nodiscard]] bool has(const Worthwhile::Key& key) const { return keys_.contains(key); }

private:
    /// Three to four standard errors of a chance seen in 128 scenarios, near the limits that verdicts have.
    static constexpr double kChanceOutside = 0.15;
    static constexpr double kChanceHarm = 0.05;

    static bool may_be_fit(const odds::Sketch& sketch, const planning::VerdictLimits& limits) {
        return sketch.chance_outside <= limits.chance_outside + kChanceOutside &&
               sketch.chance_harm <= limits.chance_harm + kChanceHarm;
    }

    std::set<Worthwhile::Key> keys_;
};

}  // namespace mildway::weekly
