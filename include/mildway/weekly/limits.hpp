// What the breeder can do in a week: parcels a day, days away, what is in stock (week.json).
#pragma once

#include "mildway/base/config_reader.hpp"
#include "mildway/base/verdict.hpp"
#include "mildway/orders/order.hpp"
#include "mildway/planning/workspace.hpp"
#include "mildway/weekly/check_rules.hpp"

#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace mildway::weekly {

inline constexpr const char* kWeekFile = "week.json";

/// What lay on the shelf on the evening before a day. Things that are not named are never short.
struct StockCount {
    Date counted_on{};                    ///< before anything was handed over that day
    std::map<std::string, int> boxes;     ///< by box::Packing::box
    std::map<std::string, int> warmers;   ///< by name in materials.json
    std::map<std::string, int> coolants;  ///< likewise
};

struct Limits {
    std::optional<int> boxes_per_day;
    std::vector<orders::DateRange> days_away;  ///< nothing is shipped then; both ends included
    double counter_trip_usd = 0;               ///< of each day on which anything is shipped
    double waiting_usd_per_day = 0;            ///< of each order, from the first day that is planned
    Verdict worst_verdict = Verdict::tight;    ///< worse is never planned
    std::optional<StockCount> stock;
    CheckRules check;

    /// Throws InputError; names of things must be known in the workspace.
    [[nodiscard]] static Limits read(const ConfigNode& node, const planning::Workspace& workspace);
    /// week.json of the workspace's folder; without one nothing is limited.
    [[nodiscard]] static Limits load(const planning::Workspace& workspace);

    [[nodiscard]] bool is_away(Date day) const;
};

}  // namespace mildway::weekly
