// All open orders and the coming days together: who goes when, how, and who waits.
#pragma once

#include "mildway/orders/order.hpp"
#include "mildway/planning/assignment.hpp"
#include "mildway/planning/plan.hpp"
#include "mildway/weather/source.hpp"
#include "mildway/weekly/limits.hpp"

#include <algorithm>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace mildway::weekly {

struct WeekRequest {
    Date from{};
    int days = 14;
    std::uint32_t scenarios = 2048;
    std::uint64_t seed = 1;
    unsigned threads = 1;
    Instant now;
    bool replan = false;  ///< planned orders are chosen anew, too
    /// Of a whole week a few dollars make no difference; finding the last of them can take minutes.
    planning::SearchLimits search{400, 20, 2};
};

/// A kind of thing of which there is a stock.
struct StockItem {
    enum class Kind { box, warmer, coolant };
    Kind kind = Kind::box;
    std::string name;
    int counted = 0;
    int used = 0;   ///< by orders handed over since
    int kept = 0;   ///< for orders that are planned already
    int taken = 0;  ///< by this plan
    [[nodiscard]] int left() const { return counted - used - kept - taken; }
    /// Before this plan; never below 0.
    [[nodiscard]] int at_hand() const { return std::max(0, counted - used - kept); }
};

/// "box 'small-19'", "warmer 'slow-40h'".
[[nodiscard]] std::string thing_text(const StockItem& item);

/// A planned order that stays as it is, with what it takes of days and stock.
struct KeptPlan {
    orders::Order order;                     ///< with its choice
    Verdict verdict = Verdict::unknown;      ///< as told last
    Side side = Side::cold;                  ///< likewise
    bool checked = false;                    ///< told by a check; else by its choice
    bool flagged = false;                    ///< a check said that a person should look
    bool past = false;                       ///< its day is past, and it was not handed over
    std::optional<std::size_t> chosen_anew;  ///< index into Week::orders: no new choice was found
};

/// Days that do not suit an order, and why: one reason with all its days.
struct Unfit {
    std::string reason;  ///< "arrival would not suit: the buyer is away", "unsafe at best"
    std::vector<Date> ship_dates;
    std::string unknown;               ///< where the weather is not known: why
    std::vector<std::string> at_best;  ///< of each date, where nothing is fit: "5.1 h too cold"
};

/// An order that takes part, and what it got.
struct WeekOrder {
    orders::Order order;
    std::optional<planning::Option> chosen;      ///< empty: it waits
    std::optional<planning::Option> given_up;    ///< better for this order alone
    std::vector<planning::Limit> because;        ///< of giving it up, or of waiting
    std::optional<planning::Option> next_best;   ///< the best on another day than the chosen one
    std::vector<planning::Option> best_of_days;  ///< that suit, by date: the best of each
    std::vector<Unfit> unfit;                    ///< by first date
    std::vector<std::string> left_out;           ///< packings and services it cannot use, a sentence each
    /// A planned one without a new choice: it does not wait, and is among Week::kept.
    bool keeps_plan = false;
    std::string gone;  ///< why nothing can be told of it: what_is_gone() (order_parcel.hpp)
};

/// Several parcels in the same night.
struct SharedNight {
    std::string night;  ///< odds::night_key
    std::string place;  ///< the hub, or the counter
    Date date{};
    std::vector<std::string> numbers;  ///< of the orders
    double two_or_more = 0;            ///< chance that at least two of them are late
    double two_or_more_apart = 0;      ///< the same if each had a luck of its own
};

struct WeekDay {
    Date date{};
    bool away = false;
    std::vector<std::size_t> orders;  ///< indices into Week::orders
    /// Parcels of that day beside this plan's: of orders that are planned already and stay as they are, and
    /// of those handed over that day.
    int kept = 0;
    std::optional<int> boxes;  ///< the most; empty: not limited
};

struct Week {
    WeekRequest request;
    std::vector<WeekOrder> orders;  ///< in the order given
    std::vector<WeekDay> days;
    std::vector<StockItem> stock;  ///< of what is limited; planning::Limit::index counts these
    std::vector<KeptPlan> kept;    ///< past ones first, then by day
    /// Limits that kept plans break whatever is chosen, and what could not be counted: a sentence each.
    std::vector<std::string> broken;
    std::vector<SharedNight> nights;
    std::vector<planning::Relief> reliefs;
    std::vector<planning::PlaceWeather> weather;  ///< each place once
    double trips_usd = 0;                         ///< of the counter trips that this plan adds
    bool proven = true;
    double usd_may_lack = 0;  ///< as planning::Assignment
};

/// Plans the orders that are open (with `replan` the planned ones, too) among `orders`, which also holds
/// those planned and handed over, for what they take of days and stock. A planned one for which nothing
/// better is found keeps its plan, its place and its things. `checks`: the newest of each of `orders`; empty:
/// none. Borrows `workspace`: options point into it. Orders that the workspace's files know nothing of wait,
/// and say so; likewise those to a place without weather.
[[nodiscard]] Week plan_week(const planning::Workspace& workspace, const Limits& limits,
                             const weather::ForecastSource& source, std::span<const orders::Order> orders,
                             const WeekRequest& request,
                             std::span<const std::optional<orders::Reassessment>> checks = {});

}  // namespace mildway::weekly
