// The joint choice alone: 200 orders over 14 days, every one searched to the proof.
#include "assignment_problems.hpp"

#include <benchmark/benchmark.h>

using namespace mildway;

namespace {

void assign_200_orders(benchmark::State& state, testing::Shape shape) {
    std::uint64_t seed = 0;
    int unproven = 0;
    for (auto _ : state) {
        state.PauseTiming();
        const planning::AssignmentProblem problem = testing::made_problem(shape, ++seed % 10 + 1);
        state.ResumeTiming();
        unproven += planning::assign(problem).proven ? 0 : 1;
    }
    state.counters["unproven"] = unproven;
}

BENCHMARK_CAPTURE(assign_200_orders, without_stock, testing::Shape{200, 14, 0, 3, true})
    ->Unit(benchmark::kMillisecond)
    ->Iterations(10);
BENCHMARK_CAPTURE(assign_200_orders, with_scarce_stock, testing::Shape{200, 14, 4, 6, true})
    ->Unit(benchmark::kMillisecond)
    ->Iterations(10);

}  // namespace
