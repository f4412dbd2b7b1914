// Which options of a week are worth assessing, by a first look at all of them (odds/sketch.hpp).
#pragma once

#include "mildway/planning/lane_options.hpp"
#include "mildway/weekly/week.hpp"

#include "first_look.hpp"
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

/// Options of one key stand in for each other in the choice.
using DayAndUses = std::pair<Date, std::vector<std::pair<std::size_t, int>>>;

[[nodiscard]] inline DayAndUses day_and_uses(Date day, const box::Packing& packing,
                                             const planning::Workspace& workspace,
                                             const std::vector<StockItem>& stock) {
    return {day, plain(uses_of(packing, workspace, stock))};
}

/// What is worth a full assessment, by a first look: of each day and use of stock, the options with the
/// fewest hours outside and the smallest chances, and the cheapest of those that are nearly as good; nothing
/// that is hopeless, unless it may yet be no worse than tight and the day has nothing better to tell of.
/// Trips without a first look keep one.
class Worthwhile {
public:
    using Key = std::tuple<Date, const transit::Service*, const box::Packing*>;

    Worthwhile(const std::vector<planning::SketchedOption>& sketched, const planning::Workspace& workspace,
               const std::vector<StockItem>& stock, Verdict worst) {
        std::map<DayAndUses, Options> alike;
        for (const planning::SketchedOption& option : sketched) {
            looked_at_.insert({option.ship_date, option.service});
            if (!option.sketch.hopeless) {
                alike[day_and_uses(option.ship_date, *option.packing, workspace, stock)].push_back(&option);
                continue;
            }
            const auto [of_day, is_first] = best_hopeless_.try_emplace(option.ship_date, option);
            if (option.sketch.hours_outside < of_day->second.sketch.hours_outside) of_day->second = option;
        }
        for (auto& [of, options] : alike) {
            best_hopeless_.erase(of.first);
            keep_best(options);
        }
        std::erase_if(best_hopeless_, [&](const auto& of_day) {
            if (worst == Verdict::tight || clearly_unsafe(of_day.second.sketch, workspace.verdicts))
                return false;
            keep(of_day.second);
            return true;
        });
    }

    [[nodiscard]] bool has(const Key& key) const { return kept_.contains(key); }

    /// Also the first that is asked about on a trip without a first look, to tell why there is none.
    [[nodiscard]] bool wants(const Key& key) {
        return has(key) || looked_at_.insert({std::get<0>(key), std::get<1>(key)}).second;
    }

    /// Of each day on which all options that were looked at are unsafe, the one with the fewest hours
    /// outside.
    [[nodiscard]] const std::map<Date, planning::SketchedOption>& best_of_unsafe_days() const {
        return best_hopeless_;
    }

private:
    using Options = std::vector<const planning::SketchedOption*>;

    /// Hours of a first look may be off by about as much, after 128 scenarios of each case.
    static constexpr double kNearly_h = 0.3;
    static constexpr std::size_t kCheapest = 2;

    void keep(const planning::SketchedOption& option) {
        kept_.insert({option.ship_date, option.service, option.packing});
    }

    /// The least by hours, and by each of the two chances that make a verdict: fewest hours may go with a
    /// greater chance of harm.
    void keep_best(Options& options) {
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
    std::map<Date, planning::SketchedOption> best_hopeless_;
};

/// Options that were passed over and may yet be fit, of days and uses of stock of which nothing fit is known:
/// whether one is can only be told by assessing it. By uses, since what is used up for one box may lie on the
/// shelf for another.
class Doubtful {
public:
    Doubtful(const std::vector<planning::SketchedOption>& sketched, const Worthwhile& seen,
             const planning::ParcelOptions& assessed, const planning::Workspace& workspace,
             const std::vector<StockItem>& stock, Verdict worst) {
        std::set<DayAndUses> fit;
        for (const planning::Option& option : assessed.options) {
            if (option.verdict <= worst)
                fit.insert(day_and_uses(option.ship_date, *option.packing, workspace, stock));
        }
        for (const planning::SketchedOption& option : sketched) {
            const Worthwhile::Key key{option.ship_date, option.service, option.packing};
            if (option.sketch.hopeless || seen.has(key)) continue;
            if (!fit.contains(day_and_uses(option.ship_date, *option.packing, workspace, stock)))
                keys_.insert(key);
        }
    }

    [[nodiscard]] bool any() const { return !keys_.empty(); }
    [[nodiscard]] bool has(const Worthwhile::Key& key) const { return keys_.contains(key); }

private:
    std::set<Worthwhile::Key> keys_;
};

}  // namespace mildway::weekly
