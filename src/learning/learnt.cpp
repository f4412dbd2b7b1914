#include "mildway/learning/learnt.hpp"

#include "mildway/base/files.hpp"

#include <algorithm>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace mildway::learning {

using nlohmann::ordered_json;

namespace {

constexpr int kVersion = 1;
constexpr int kMostReadings = 100'000'000;

Instant read_time(const ConfigNode& node, const std::vector<std::string>& times, std::size_t index) {
    const auto when = parse_instant(times.at(index));
    if (!when)
        node.fail(fmt::format("fitted_range/{}", index),
                  fmt::format("is '{}'; expected a time like 2027-03-01T13:00:00Z", times.at(index)));
    return *when;
}

/// Where a figure stands in a record.
struct Keys {
    const char* value;
    const char* error;
    const char* from_log;
};
constexpr Keys kWall{"wall_factor", "wall_factor_error", "wall_factor_from_log"};
constexpr Keys kAir{"air_exchange_l_per_h", "air_exchange_error", "air_exchange_from_log"};
constexpr Keys kWarmer{"warmer_factor", "warmer_factor_error", "warmer_factor_from_log"};

std::optional<LearntFigure> read_figure(const ConfigNode& node, const Keys& keys, Bounds bounds) {
    if (!node.has(keys.value)) {
        for (const char* key : {keys.error, keys.from_log})
            if (node.has(key)) node.fail(key, fmt::format("stands without '{}'", keys.value));
        return std::nullopt;
    }
    return LearntFigure{node.number(keys.value, bounds), node.number(keys.error, {0, bounds.high}),
                        node.text(keys.from_log)};
}

LearntRecord read_record(const ConfigNode& node) {
    LearntRecord record;
    record.packing = node.text("id");
    record.recipe = node.text("recipe");
    record.wall_factor = read_figure(node, kWall, {0.1, 10});
    record.air_exchange_l_per_h = read_figure(node, kAir, {0, 5000});
    record.warmer_factor = read_figure(node, kWarmer, {0, 10});
    record.readings = static_cast<std::size_t>(node.whole("readings", 1, kMostReadings));
    const auto times = node.texts("fitted_range");
    if (times.size() != 2) node.fail("fitted_range", "expected two times, [from, to]");
    record.from = read_time(node, times, 0);
    record.to = read_time(node, times, 1);
    if (record.to < record.from) node.fail("fitted_range", "ends before it begins");
    node.finish();
    return record;
}

void put(ordered_json& json, const Keys& keys, const std::optional<LearntFigure>& figure) {
    if (!figure) return;
    json[keys.value] = figure->value;
    json[keys.error] = figure->error;
    json[keys.from_log] = figure->from_log;
}

ordered_json record_json(const LearntRecord& record) {
    ordered_json json{{"id", record.packing}, {"recipe", record.recipe}};
    put(json, kWall, record.wall_factor);
    put(json, kAir, record.air_exchange_l_per_h);
    put(json, kWarmer, record.warmer_factor);
    json["readings"] = record.readings;
    json["fitted_range"] = {format_instant(record.from), format_instant(record.to)};
    return json;
}

std::optional<double> value_of(const std::optional<LearntFigure>& figure) {
    return figure ? std::optional(figure->value) : std::nullopt;
}

}  // namespace

Learnt read_learnt(const ConfigNode& node) {
    Learnt learnt;
    (void)node.whole("version", kVersion, kVersion);
    for (const ConfigNode& item : node.objects("packings")) {
        LearntRecord record = read_record(item);
        const auto same = [&](const LearntRecord& other) { return other.packing == record.packing; };
        if (std::any_of(learnt.begin(), learnt.end(), same))
            item.fail("id", fmt::format("is '{}' a second time; expected one record for each packing",
                                        record.packing));
        learnt.push_back(std::move(record));
    }
    node.finish();
    return learnt;
}

std::string learnt_json(const Learnt& learnt) {
    ordered_json json{{"version", kVersion}, {"packings", ordered_json::array()}};
    for (const LearntRecord& record : learnt) json["packings"].push_back(record_json(record));
    // a log's name may hold any bytes
    return json.dump(2, ' ', false, ordered_json::error_handler_t::replace) + "\n";
}

std::string recipe_text(const box::Packing& packing, const box::Warmers& warmers) {
    std::string text = fmt::format(
        "inside {:g} x {:g} x {:g} mm; liner {} {:g} mm{}; board {} {:g} mm; vents {} x {:g} mm; seams {:g} "
        "L/h",
        1000 * packing.inner_m[0], 1000 * packing.inner_m[1], 1000 * packing.inner_m[2],
        packing.liner.material.name, 1000 * packing.liner.thickness_m,
        packing.reflective_liner ? " with foil" : "", packing.board.material.name,
        1000 * packing.board.thickness_m, packing.vents.count, 1000 * packing.vents.diameter_m,
        packing.seams_l_per_h);
    for (const box::WarmerUse& use : packing.warmers)
        text += fmt::format("; {} x {} opened {:g} h before", use.count, warmers.at(use.type).name,
                            use.opened_before_packing_h);
    return text;
}

std::vector<std::string> apply(const Learnt& learnt, box::Packings& packings, const box::Warmers& warmers) {
    std::vector<std::string> remarks;
    for (const LearntRecord& record : learnt) {
        const auto found =
            std::find_if(packings.all().begin(), packings.all().end(),
                         [&](const box::Packing& packing) { return packing.id == record.packing; });
        if (found == packings.all().end()) {
            remarks.push_back(fmt::format("learnt.json speaks of a packing '{}', which packings.json lacks",
                                          record.packing));
        } else if (record.recipe != recipe_text(*found, warmers)) {
            remarks.push_back(
                fmt::format("learnt.json: '{}' has been changed since its log was read; its figures are not "
                            "used: run fit again",
                            record.packing));
        } else {
            found->learnt = {value_of(record.wall_factor), value_of(record.air_exchange_l_per_h),
                             value_of(record.warmer_factor)};
        }
    }
    return remarks;
}

std::optional<LearntRecord> record_of(const box::Packing& packing, const box::Warmers& warmers,
                                      const std::filesystem::path& log, const Fit& fit) {
    LearntRecord record;
    record.packing = packing.id;
    record.recipe = recipe_text(packing, warmers);
    for (const Figure& figure : fit.figures) {
        if (!figure.told) continue;
        const LearntFigure learnt{figure.value, figure.value * figure.relative_error,
                                  log.filename().string()};
        switch (figure.kind) {
            case FigureKind::wall:
                record.wall_factor = learnt;
                break;
            case FigureKind::air_exchange:
                record.air_exchange_l_per_h = learnt;
                break;
            case FigureKind::warmer:
                record.warmer_factor = learnt;
                break;
        }
    }
    if (!fit.fits || (!record.wall_factor && !record.air_exchange_l_per_h && !record.warmer_factor))
        return std::nullopt;
    record.readings = fit.readings;
    record.from = fit.stretches.front().from;
    record.to = fit.stretches.back().to;
    return record;
}

std::vector<FigureKind> save_learnt(const std::filesystem::path& file, LearntRecord record) {
    Learnt learnt;
    std::vector<FigureKind> kept;
    const auto keep = [&](FigureKind kind, std::optional<LearntFigure>& now,
                          const std::optional<LearntFigure>& before) {
        if (now || !before) return;
        now = before;
        kept.push_back(kind);
    };
    if (std::filesystem::exists(file)) learnt = read_learnt(ConfigNode::load(file));
    const auto same = std::find_if(learnt.begin(), learnt.end(), [&](const LearntRecord& other) {
        return other.packing == record.packing;
    });
    if (same == learnt.end()) {
        learnt.push_back(record);
    } else {
        if (same->recipe == record.recipe) {
            keep(FigureKind::wall, record.wall_factor, same->wall_factor);
            keep(FigureKind::air_exchange, record.air_exchange_l_per_h, same->air_exchange_l_per_h);
            keep(FigureKind::warmer, record.warmer_factor, same->warmer_factor);
        }
        *same = std::move(record);
    }
    write_file(file, learnt_json(learnt));
    return kept;
}

std::vector<std::string> names_of(const box::LearntFigures& learnt) {
    std::vector<std::string> names;
    if (learnt.wall_factor) names.emplace_back("wall");
    if (learnt.air_exchange_l_per_h) names.emplace_back("air");
    if (learnt.warmer_factor) names.emplace_back("warmers");
    return names;
}

}  // namespace mildway::learning
