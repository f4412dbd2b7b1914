#include "mildway/weekly/limits.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::weekly {

namespace {

constexpr int kMostThings = 100000;
constexpr double kMostUsd = 10000;

Date read_date(const ConfigNode& node, const char* key) {
    const std::string text = node.text(key);
    const auto day = parse_date(text);
    if (!day) node.fail(key, fmt::format("is '{}'; expected a date like 2027-03-01", text));
    return *day;
}

std::vector<orders::DateRange> read_days_away(const ConfigNode& node) {
    std::vector<orders::DateRange> ranges;
    if (!node.has("days_away")) return ranges;
    for (const ConfigNode& item : node.objects("days_away")) {
        const orders::DateRange range{read_date(item, "from"), read_date(item, "until")};
        if (range.until < range.from) item.fail("until", "is before 'from'; expected the last day away");
        item.finish();
        ranges.push_back(range);
    }
    return ranges;
}

/// How many there are of each thing; a name that is not known is found when the reading ends.
std::map<std::string, int> read_counts(const ConfigNode& node, const char* key,
                                       const std::vector<std::string>& known) {
    std::map<std::string, int> counts;
    if (!node.has(key)) return counts;
    const ConfigNode things = node.object(key);
    for (const std::string& name : known) {
        if (things.has(name)) counts[name] = things.whole(name, 0, kMostThings);
    }
    things.finish();
    return counts;
}

std::vector<std::string> box_names(const planning::Workspace& workspace) {
    std::vector<std::string> names;
    for (const box::Packing& packing : workspace.packings.all()) {
        if (std::find(names.begin(), names.end(), packing.box) == names.end()) names.push_back(packing.box);
    }
    return names;
}

StockCount read_stock(const ConfigNode& node, const planning::Workspace& workspace) {
    StockCount stock;
    stock.counted_on = read_date(node, "counted_on");
    stock.boxes = read_counts(node, "boxes", box_names(workspace));
    stock.warmers = read_counts(node, "warmers", workspace.supplies.warmers.names());
    stock.coolants = read_counts(node, "coolants", workspace.supplies.coolants.names());
    node.finish();
    return stock;
}

}  // namespace

Limits Limits::read(const ConfigNode& node, const planning::Workspace& workspace) {
    constexpr int kMostBoxes = 10000;
    Limits limits;
    if (node.has("boxes_per_day")) limits.boxes_per_day = node.whole("boxes_per_day", 1, kMostBoxes);
    limits.days_away = read_days_away(node);
    limits.counter_trip_usd = node.number_or("counter_trip_usd", 0, {0, kMostUsd});
    limits.waiting_usd_per_day = node.number_or("waiting_usd_per_day", 0, {0, kMostUsd});
    if (node.has("worst_verdict"))
        limits.worst_verdict = static_cast<Verdict>(node.choice("worst_verdict", {"comfortable", "tight"}));
    if (node.has("stock")) limits.stock = read_stock(node.object("stock"), workspace);
    if (node.has("check")) limits.check = CheckRules::read(node.object("check"));
    node.finish();
    return limits;
}

Limits Limits::load(const planning::Workspace& workspace) {
    const std::filesystem::path file = workspace.folder / kWeekFile;
    if (!std::filesystem::exists(file)) return {};
    return read(ConfigNode::load(file), workspace);
}

bool Limits::is_away(Date day) const {
    return std::any_of(days_away.begin(), days_away.end(), [&](const orders::DateRange& range) {
        return range.from <= day && day <= range.until;
    });
}

}  // namespace mildway::weekly
