// Options with figures written by hand, for the rooms that order, explain and print them.
#pragma once

#include "mildway/planning/plan.hpp"

#include <optional>
#include <string>

namespace mildway::testing {

struct MadeOption {
    int day = 1;  ///< of the month
    date::year_month month{date::year{2027} / 3};
    const transit::Service* service = nullptr;
    const box::Packing* packing = nullptr;
    double hours_cold = 0;
    double hours_warm = 0;
    double hours_error = 0;
    double harm = 0;
    double harm_error = 0;
    double cost_usd = 50;
};

inline planning::Option make_option(const MadeOption& made) {
    planning::Option option;
    option.ship_date = made.month / made.day;
    option.service = made.service;
    option.packing = made.packing;
    option.cost.carriage_usd = made.cost_usd;
    option.assessment.all.emplace();
    auto& figures = *option.assessment.all;
    figures.hours_outside = {made.hours_cold + made.hours_warm, made.hours_error};
    figures.hours_cold = made.hours_cold;
    figures.hours_warm = made.hours_warm;
    figures.chance_harm = {made.harm, made.harm_error};
    option.verdict = planning::Verdict::comfortable;
    return option;
}

inline planning::Option make_unknown(const MadeOption& made, const std::string& reason) {
    planning::Option option = make_option(made);
    option.assessment.all.reset();
    option.assessment.unknown_reason = reason;
    option.verdict = planning::Verdict::unknown;
    return option;
}

inline transit::Service named_service(const std::string& id) {
    transit::Service service;
    service.id = id;
    service.label = id;
    return service;
}

inline box::Packing named_packing(const std::string& id, bool with_warmer = false) {
    box::Packing packing;
    packing.id = id;
    packing.label = id;
    if (with_warmer) packing.warmers.emplace_back();
    return packing;
}

}  // namespace mildway::testing
