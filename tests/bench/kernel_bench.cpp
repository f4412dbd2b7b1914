// Trips of 72 hours for each second, and how exact: the kernel against other ways of solving the same box.
#include "solvers.hpp"

#include <memory>
#include <string>

#include <benchmark/benchmark.h>

using namespace mildway;
using namespace mildway::bench;

namespace {

struct Case {
    const char* name;
    const char* packing;
    odds::SafeBand safe;
    bool burning = false;  ///< with the warmers' output in the time
};

/// From the most crossings of the band's edges to none.
constexpr Case kCases[] = {
    {"plain_box_mostly_outside", "small-38", {13, 27}},
    {"plain_box_sometimes_outside", "small-38", {3, 33}},
    {"plain_box_never_outside", "small-38", {-40, 60}},
    {"warm_box_often_outside", "small-38-1w", {13, 27}},
    {"warm_box_sometimes_outside", "small-38-1w", {3, 33}},
    {"warm_box_never_outside", "small-38-1w", {-40, 60}},
    {"burning_box_often_outside", "small-38-1w", {13, 27}, true},
    {"burning_box_sometimes_outside", "small-38-1w", {3, 33}, true},
    {"burning_box_never_outside", "small-38-1w", {-40, 60}, true},
    {"cooled_box_often_outside", "small-38-1p", {13, 27}},
    {"cooled_box_sometimes_outside", "small-38-1p", {3, 33}},
    {"cooled_box_never_outside", "small-38-1p", {-40, 60}},
};

constexpr int kBlocks = 32;
/// Scenarios that the slow methods and the errors go through.
constexpr int kChecked = 48;

/// CVODE at 1e-9, every minute: the truth for the errors.
std::vector<Experience> truth(const BenchTrips& trips, odds::SafeBand safe) {
    Cvode cvode(trips, safe, 1e-9, 15);
    std::vector<Experience> all;
    for (int scenario = 0; scenario < kChecked; ++scenario) all.push_back(cvode.run(scenario));
    return all;
}

void report_errors(benchmark::State& state, const std::vector<Experience>& truth,
                   const std::vector<Experience>& found) {
    double mean_h = 0, most_h = 0, most_k = 0, outside_h = 0;
    for (std::size_t i = 0; i < truth.size(); ++i) {
        const double off_h = std::max(std::abs(found[i].hours_cold - truth[i].hours_cold),
                                      std::abs(found[i].hours_warm - truth[i].hours_warm));
        mean_h += off_h / kChecked;
        most_h = std::max(most_h, off_h);
        most_k = std::max({most_k, std::abs(found[i].coldest_c - truth[i].coldest_c),
                           std::abs(found[i].warmest_c - truth[i].warmest_c)});
        outside_h += truth[i].hours() / kChecked;
    }
    state.counters["hours_outside"] = outside_h;
    state.counters["off_mean_h"] = mean_h;
    state.counters["off_most_h"] = most_h;
    state.counters["off_most_K"] = most_k;
}

void report_speed(benchmark::State& state, int scenarios) {
    const auto trips = static_cast<double>(state.iterations()) * scenarios;
    state.SetItemsProcessed(static_cast<std::int64_t>(trips));
    state.counters["s_per_trip"] =
        benchmark::Counter(trips, benchmark::Counter::kIsRate | benchmark::Counter::kInvert);
}

void kernel(benchmark::State& state, const Case& which) {
    BenchTrips trips(which.packing, kBlocks);
    std::vector<Experience> found;
    for (auto _ : state) trips.run_kernel(which.safe, which.burning, found);
    report_speed(state, trips.scenarios());
    if (state.threads() == 1) report_errors(state, truth(trips, which.safe), found);
    state.SetLabel(odds::kernel_instruction_set());
}

/// One of the methods that go through one scenario at a time.
template <class MakeMethod>
void one_by_one(benchmark::State& state, const Case& which, MakeMethod make_method) {
    const BenchTrips trips(which.packing, (kChecked + odds::kLanes - 1) / odds::kLanes);
    auto method = make_method(trips);
    std::vector<Experience> found(kChecked);
    for (auto _ : state) {
        for (int scenario = 0; scenario < kChecked; ++scenario)
            found[static_cast<std::size_t>(scenario)] = method(scenario);
    }
    report_speed(state, kChecked);
    report_errors(state, truth(trips, which.safe), found);
}

void add_case(const Case& which) {
    const std::string name = which.name;
    const auto safe = which.safe;
    benchmark::RegisterBenchmark(("kernel/" + name).c_str(), kernel, which);
    if (which.burning) return;  // the others differ from the warm box in nothing
    benchmark::RegisterBenchmark(("exact_steps/" + name).c_str(), [which, safe](benchmark::State& state) {
        one_by_one(state, which, [safe](const BenchTrips& trips) {
            return [&trips, safe](int scenario) { return by_exact_steps(trips, scenario, safe); };
        });
    });
    benchmark::RegisterBenchmark(("runge_kutta_60s/" + name).c_str(), [which, safe](benchmark::State& state) {
        one_by_one(state, which, [safe](const BenchTrips& trips) {
            return [method = RungeKutta(trips, safe)](int scenario) { return method.run(scenario); };
        });
    });
    benchmark::RegisterBenchmark(("cvode_1e-4/" + name).c_str(), [which, safe](benchmark::State& state) {
        one_by_one(state, which, [safe](const BenchTrips& trips) {
            return [method = std::make_shared<Cvode>(trips, safe, 1e-4, 2)](int scenario) {
                return method->run(scenario);
            };
        });
    });
}

const bool kRegistered = [] {
    for (const Case& which : kCases) add_case(which);
    benchmark::RegisterBenchmark("kernel_on_threads/warm_box_often_outside", kernel, kCases[3])
        ->ThreadRange(1, 2)
        ->UseRealTime();
    return true;
}();

}  // namespace
