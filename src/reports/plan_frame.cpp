#include "plan_frame.hpp"

#include "mildway/learning/learnt.hpp"
#include "mildway/planning/explain.hpp"
#include "mildway/planning/lane_rules.hpp"

#include "layout.hpp"
#include "rule_lines.hpp"
#include "weather_lines.hpp"

#include <algorithm>
#include <set>

#include <fmt/format.h>

namespace mildway::reports {

using planning::Plan;
using planning::Workspace;

namespace {

std::string header(const Workspace& workspace, const Plan& plan) {
    const auto& request = plan.request;
    const auto degrees = [&](double c) { return planning::temperature_text(c, workspace.scale); };
    std::string text =
        paragraph("", fmt::format("{} x {}, {:.6g} g each, from {} to {}", request.contents.count,
                                  request.species->common, request.contents.mass_kg_each * 1000,
                                  workspace.origin.name, request.destination.name));
    text += paragraph(
        "", fmt::format("Safe from {} to {}; harm below {} or above {}.",
                        degrees(request.species->safe.low_c), degrees(request.species->safe.high_c),
                        degrees(request.species->harm.low_c), degrees(request.species->harm.high_c)));
    return text;
}

/// Findings in the order in which they come up, each with all the places it was made at.
std::vector<std::pair<std::string, std::string>> findings_by_place(const Plan& plan) {
    std::vector<std::pair<std::string, std::string>> all;
    for (const auto& there : plan.weather) {
        for (const auto& finding : there.findings) {
            const auto known =
                std::find_if(all.begin(), all.end(), [&](const auto& one) { return one.first == finding; });
            if (known == all.end()) {
                all.emplace_back(finding, there.place);
            } else {
                known->second.append(", ").append(there.place);
            }
        }
    }
    return all;
}

std::string weather_lines(const Plan& plan) {
    Instant oldest = plan.weather.front().issued;
    std::set<std::string> sources;
    for (const auto& there : plan.weather) {
        oldest = std::min(oldest, there.issued);
        sources.insert(fmt::format("{} ({})", there.source, weather::basis_name(there.basis)));
    }
    std::string text = paragraph("", fmt::format("Weather: {}, {:.0f} h old.", fmt::join(sources, ", "),
                                                 std::max(0.0, in_hours(plan.request.now - oldest))));
    for (const auto& there : plan.weather) {
        if (!there.doubt.empty()) text += paragraph("  ! ", there.doubt + ".");
    }
    for (const auto& [finding, places] : findings_by_place(plan))
        text += paragraph("  ! ", fmt::format("{}: {}", places, finding));
    return text;
}

/// Packings of the ranking whose figures are those of a logger.
std::string learnt_line(const Plan& plan) {
    std::vector<std::string> packings;
    for (const auto& option : plan.options) {
        const auto names = learning::names_of(option.packing->learnt);
        if (names.empty()) continue;
        std::string one = fmt::format("{} ({})", option.packing->id, fmt::join(names, ", "));
        if (std::find(packings.begin(), packings.end(), one) == packings.end())
            packings.push_back(std::move(one));
    }
    if (packings.empty()) return "";
    return paragraph("", fmt::format("Learnt from loggers: {}.", fmt::join(packings, ", ")));
}

std::string advice(const Workspace& workspace, const Plan& plan) {
    std::string text = "\nAsk before you ship:\n" +
                       asking_lines(planning::lane_rules(workspace, plan.request)) + "\nMind:\n";
    for (const auto& caution : plan.cautions) text += paragraph("  - ", caution.text);
    return text;
}

}  // namespace

std::string plan_head(const Workspace& workspace, const Plan& plan) {
    return header(workspace, plan) + weather_lines(plan) + learnt_line(plan) +
           forbidding_lines(planning::lane_rules(workspace, plan.request));
}

std::string plan_foot(const Workspace& workspace, const Plan& plan) {
    return advice(workspace, plan) + credit_lines(plan.weather);
}

std::string left_out_lines(const Plan& plan) {
    std::string text;
    for (const auto& sentence : plan.left_out) text += paragraph("   left out: ", sentence);
    return text;
}

}  // namespace mildway::reports
