#include "mildway/planning/ranking.hpp"

#include "options.hpp"

#include <algorithm>
#include <optional>

#include <fmt/format.h>

namespace mildway::planning {

namespace {

using Recipe = std::shared_ptr<const box::Packing>;

/// A recipe with a warmer more or less.
struct Variant {
    ChangeKind kind;
    Recipe recipe;
};

Recipe renamed(box::Packing packing, const std::string& type, bool more) {
    packing.id += (more ? "+" : "-") + type;
    packing.label += fmt::format(", one {} {}", type, more ? "more" : "less");
    return std::make_shared<const box::Packing>(std::move(packing));
}

/// How the workspace's recipes use warmers of that kind: when they are opened.
std::optional<box::WarmerUse> usual_use(const Workspace& workspace, std::size_t type) {
    for (const box::Packing& packing : workspace.packings.all()) {
        for (const box::WarmerUse& use : packing.warmers) {
            if (use.type == type) return box::WarmerUse{type, 1, use.opened_before_packing_h};
        }
    }
    return std::nullopt;
}

/// One of a kind that the recipe has already; of every kind that the workspace uses when it has none.
std::vector<Variant> one_more(const Desk& desk, const box::Packing& packing) {
    std::vector<Variant> variants;
    if (packing.warmer_count() >= box::kMaxWarmers) return variants;
    const auto& types = desk.workspace.supplies.warmers.all();
    for (std::size_t type = 0; type < types.size(); ++type) {
        const auto has = [&](const box::WarmerUse& use) { return use.type == type; };
        box::Packing changed = packing;
        const auto there = std::find_if(changed.warmers.begin(), changed.warmers.end(), has);
        if (there != changed.warmers.end()) {
            ++there->count;
        } else {
            const auto use = usual_use(desk.workspace, type);
            const bool fits = types[type].thickness_m <= packing.clearance_m(desk.request.contents.count);
            if (!packing.warmers.empty() || !use || !fits) continue;
            changed.warmers.push_back(*use);
        }
        variants.push_back(
            {ChangeKind::one_warmer_more, renamed(std::move(changed), types[type].label, true)});
    }
    return variants;
}

std::vector<Variant> one_less(const Desk& desk, const box::Packing& packing) {
    std::vector<Variant> variants;
    for (std::size_t i = 0; i < packing.warmers.size(); ++i) {
        box::Packing changed = packing;
        const auto use = changed.warmers.begin() + static_cast<std::ptrdiff_t>(i);
        const std::string label = desk.workspace.supplies.warmers.at(use->type).label;
        if (--use->count == 0) changed.warmers.erase(use);
        variants.push_back({ChangeKind::one_warmer_less, renamed(std::move(changed), label, false)});
    }
    return variants;
}

/// Gathers options by kind of change and keeps the best of each.
class Changes {
public:
    void add(ChangeKind kind, const Option& option, Recipe recipe = nullptr) {
        if (option.assessment.all) all_.push_back({kind, option, std::move(recipe)});
    }

    [[nodiscard]] std::vector<Change> best_of_each(RankBy by) {
        std::vector<Change> best;
        for (const ChangeKind kind :
             {ChangeKind::day, ChangeKind::service, ChangeKind::hold, ChangeKind::one_warmer_more,
              ChangeKind::one_warmer_less, ChangeKind::packing}) {
            std::vector<Option> options;
            for (const Change& change : all_) {
                if (change.kind == kind) options.push_back(change.option);
            }
            if (options.empty()) continue;
            rank(options, by);
            const Option& first = options.front();
            const auto change = std::find_if(all_.begin(), all_.end(), [&](const Change& one) {
                return one.kind == kind && one.option.packing == first.packing &&
                       one.option.service == first.service && one.option.ship_date == first.ship_date;
            });
            best.push_back(std::move(*change));
            best.back().option.rank = 0;  // a rank within the plan would mislead
        }
        return best;
    }

private:
    std::vector<Change> all_;
};

bool same_trip(const Option& a, const Option& b) {
    return a.ship_date == b.ship_date && a.service == b.service;
}

/// The same service but for being held at a counter.
ChangeKind kind_of(const transit::Service& from, const transit::Service& to) {
    return from.base_id == to.base_id && from.held != to.held ? ChangeKind::hold : ChangeKind::service;
}

/// Changes among the options that were asked about.
void add_asked(Changes& changes, const std::vector<Option>& ranked) {
    const Option& best = ranked.front();
    for (const Option& option : ranked) {
        const bool same_box = option.packing == best.packing;
        if (same_box && option.service == best.service && option.ship_date != best.ship_date)
            changes.add(ChangeKind::day, option);
        if (same_box && option.service != best.service && option.ship_date == best.ship_date)
            changes.add(kind_of(*best.service, *option.service), option);
        if (!same_box && same_trip(option, best)) changes.add(ChangeKind::packing, option);
    }
}

/// Services that were not asked about, on the same day in the same box.
void add_other_services(Changes& changes, const Desk& desk, const Option& best) {
    const std::array<const box::Packing*, 1> packing{best.packing};
    std::optional<std::vector<odds::BoxModel>> boxes;
    for (const Stage::Trip& trip : desk.stage.other_trips()) {
        if (trip.cases.on_time.ship_date != best.ship_date) continue;
        if (!boxes) boxes = model_boxes(desk, packing);
        for (const Option& option : assess_options(desk, trip, *boxes).options)
            changes.add(kind_of(*best.service, *option.service), option);
    }
}

/// Packings that were not asked about, and the best one with a warmer more or less, on the same trip.
void add_other_boxes(Changes& changes, const Desk& desk, const Option& best, const Stage::Trip& trip) {
    std::vector<const box::Packing*> packings;
    const auto& asked = desk.request.packings;
    for (const box::Packing& packing : desk.workspace.packings.all()) {
        const bool known = std::find(asked.begin(), asked.end(), &packing) != asked.end();
        if (!known && box::why_no_room(packing, desk.request.contents).empty()) packings.push_back(&packing);
    }
    const std::size_t whole_recipes = packings.size();
    std::vector<Variant> variants = one_more(desk, *best.packing);
    for (Variant& variant : one_less(desk, *best.packing)) variants.push_back(std::move(variant));
    for (const Variant& variant : variants) packings.push_back(variant.recipe.get());
    if (packings.empty()) return;
    const auto boxes = model_boxes(desk, packings);
    for (const Option& option : assess_options(desk, trip, boxes).options) {
        const auto at = static_cast<std::size_t>(std::find(packings.begin(), packings.end(), option.packing) -
                                                 packings.begin());
        if (at < whole_recipes) {
            changes.add(ChangeKind::packing, option);
        } else {
            const Variant& variant = variants[at - whole_recipes];
            changes.add(variant.kind, option, variant.recipe);
        }
    }
}

}  // namespace

std::vector<Change> single_changes(const Desk& desk, const std::vector<Option>& ranked) {
    const Option& best = ranked.front();
    if (!best.assessment.all) return {};
    Changes changes;
    add_asked(changes, ranked);
    add_other_services(changes, desk, best);
    const auto& trips = desk.stage.trips();
    const auto trip = std::find_if(trips.begin(), trips.end(), [&](const Stage::Trip& one) {
        return one.service == best.service && one.cases.on_time.ship_date == best.ship_date;
    });
    if (trip != trips.end()) add_other_boxes(changes, desk, best, *trip);
    return changes.best_of_each(desk.request.rank_by);
}

}  // namespace mildway::planning
