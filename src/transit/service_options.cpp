#include "service_options.hpp"

#include "service_checks.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::transit {

namespace {

constexpr std::size_t kMostOptions = 4;

struct Option {
    std::string id;
    std::string label;
    double extra_usd = 0;
    std::optional<minutes> promised_by;
    std::vector<std::string> delivers_also_on;
    WeekdaySet also{};
    bool only_then = false;
    std::string instead_of_legs_from;  ///< empty: the legs stay
    std::vector<LegPlan> legs;
    std::optional<CollectionHours> collection;
    std::vector<std::string> not_with;
    std::string source;
};

Option read_option(const ConfigNode& node, const Service& bare, const LegContext& context) {
    Option option;
    option.id = node.text("id");
    if (option.id.find('+') != std::string::npos)
        node.fail("id",
                  fmt::format("is '{}'; '+' joins the ids of options, expected one without", option.id));
    option.label = node.text("label");
    option.extra_usd = node.number_or("extra_usd", 0, {-1000, 1000});
    if (node.has("promised_by")) option.promised_by = node.clock("promised_by");
    if (node.has("delivers_also_on")) option.also = read_weekdays(node, "delivers_also_on");
    option.only_then = node.flag_or("only_then", false);
    if (option.only_then && !node.has("delivers_also_on"))
        node.fail("only_then", "is set, but 'delivers_also_on' is not; expected the days that are meant");
    if (node.has("instead_of_legs_from")) {
        option.instead_of_legs_from = node.text("instead_of_legs_from");
        std::vector<std::string> names;
        for (const LegPlan& leg : bare.legs) names.push_back(leg.name);
        (void)node.index_of("instead_of_legs_from", "leg", option.instead_of_legs_from, names);
        option.legs = read_legs(node, "legs", context);
    }
    if (node.has("collection")) {
        option.collection = read_collection(node.object("collection"));
        if (!bare.held && option.instead_of_legs_from.empty())
            node.fail("collection",
                      "is for a parcel that is held; expected 'instead_of_legs_from' and 'legs' that "
                      "end at the counter");
    }
    if (node.has("not_with")) option.not_with = node.texts("not_with");
    option.source = node.text_or("source", "");
    node.finish();
    return option;
}

/// Whether a parcel can wait after the leg: it is the carrier's and ends by the clock.
bool can_wait_after(const std::vector<LegPlan>& legs, std::size_t leg) {
    return leg + 1 < legs.size() && legs[leg].end.kind == LegEnd::Kind::clock;
}

/// Waits after legs that are no more there are shared among the others; none are left when these have no
/// share.
void keep_waits(std::vector<Wait>& waits, const std::vector<LegPlan>& before,
                const std::vector<LegPlan>& now) {
    std::vector<Wait> kept;
    double sum = 0;
    for (Wait wait : waits) {
        const auto same = std::find_if(now.begin(), now.end(),
                                       [&](const LegPlan& leg) { return leg.name == before[wait.leg].name; });
        wait.leg = static_cast<std::size_t>(same - now.begin());
        if (!can_wait_after(now, wait.leg)) continue;
        sum += wait.share;
        kept.push_back(std::move(wait));
    }
    if (sum <= 0) kept.clear();
    for (Wait& wait : kept) wait.share /= sum;
    waits = std::move(kept);
}

void buy(Service& service, const Option& option) {
    service.options.push_back(option.id);
    service.id += "+" + option.id;
    service.label += ", " + option.label;
    service.extra_usd += option.extra_usd;
    if (option.promised_by) service.promised_by = *option.promised_by;
    for (std::size_t day = 0; day < option.also.size(); ++day) {
        service.delivers[day] = service.delivers[day] || option.also[day];
        if (option.only_then)
            service.only_for_delivery_on[day] = service.only_for_delivery_on[day] || option.also[day];
    }
    if (!option.instead_of_legs_from.empty()) {
        const auto from = std::find_if(service.legs.begin(), service.legs.end(), [&](const LegPlan& leg) {
            return leg.name == option.instead_of_legs_from;
        });
        const std::vector<LegPlan> before = service.legs;
        service.legs.erase(from, service.legs.end());
        service.legs.insert(service.legs.end(), option.legs.begin(), option.legs.end());
        keep_waits(service.waits, before, service.legs);
    }
    if (option.collection) {
        service.collection = option.collection;
        service.held = true;
    }
    if (!option.source.empty()) service.source += ". " + option.label + ": " + option.source;
}

bool go_together(const Option& a, const Option& b) {
    const auto excludes = [](const Option& one, const Option& other) {
        return std::find(one.not_with.begin(), one.not_with.end(), other.id) != one.not_with.end();
    };
    return !excludes(a, b) && !excludes(b, a);
}

bool go_together(const std::vector<const Option*>& chosen) {
    return std::all_of(chosen.begin(), chosen.end(), [&](const Option* a) {
        return std::all_of(chosen.begin(), chosen.end(),
                           [&](const Option* b) { return go_together(*a, *b); });
    });
}

std::vector<Option> read_options(const ConfigNode& node, const Service& bare, const LegContext& context) {
    std::vector<Option> options;
    std::vector<std::string> ids;
    const std::vector<ConfigNode> nodes = node.objects("options");
    if (nodes.size() > kMostOptions) {
        node.fail("options",
                  fmt::format("are more than {}; each combination is a service of its own", kMostOptions));
    }
    for (const ConfigNode& entry : nodes) {
        options.push_back(read_option(entry, bare, context));
        const std::string& id = options.back().id;
        if (std::find(ids.begin(), ids.end(), id) != ids.end())
            node.fail("options", fmt::format("hold '{}' a second time; expected each id once", id));
        ids.push_back(id);
    }
    for (std::size_t i = 0; i < options.size(); ++i) {
        for (const std::string& other : options[i].not_with) {
            if (nodes[i].index_of("not_with", "option", other, ids) == i)
                nodes[i].fail("not_with", "names the option itself; expected others");
        }
    }
    return options;
}

/// Two options must not replace the same legs.
void need_the_leg_to_replace(const ConfigNode& node, const Service& service, const Option& option) {
    const std::string& replaced = option.instead_of_legs_from;
    if (replaced.empty()) return;
    const bool there = std::any_of(service.legs.begin(), service.legs.end(),
                                   [&](const LegPlan& leg) { return leg.name == replaced; });
    if (there) return;
    node.fail("options", fmt::format("'{}' replaces the leg '{}', which another option has replaced already; "
                                     "expected 'not_with'",
                                     option.id, replaced));
}

}  // namespace

std::vector<Service> with_options(const ConfigNode& node, const Service& bare, const LegContext& context) {
    std::vector<Service> services{bare};
    if (!node.has("options")) return services;
    const std::vector<Option> options = read_options(node, bare, context);
    for (std::size_t bought = 1; bought < (std::size_t{1} << options.size()); ++bought) {
        std::vector<const Option*> chosen;
        for (std::size_t i = 0; i < options.size(); ++i) {
            if ((bought >> i & 1) != 0) chosen.push_back(&options[i]);
        }
        if (!go_together(chosen)) continue;
        Service service = bare;
        for (const Option* option : chosen) {
            need_the_leg_to_replace(node, service, *option);
            buy(service, *option);
        }
        services.push_back(std::move(service));
    }
    return services;
}

}  // namespace mildway::transit
