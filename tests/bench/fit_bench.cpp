// A log of three days, a reading each minute: from the bytes of the file to the figures.
#include "../../fixtures/loggers/logger_files.hpp"

#include <stdexcept>
#include <string>

#include <benchmark/benchmark.h>

using namespace mildway;

namespace {

const std::string kConfig = MILDWAY_SOURCE_DIR "/config";

struct Bench {
    box::Supplies supplies = box::Supplies::read(ConfigNode::load(kConfig + "/materials.json"));
    box::Packings packings = box::Packings::read(ConfigNode::load(kConfig + "/packings.json"), supplies);
    std::string text = demo::logger_files(kConfig).front().text;
    learning::LoggerOptions options;

    Bench() { options.zone = &find_zone("America/Denver"); }

    [[nodiscard]] learning::FitRequest read() const {
        learning::LoggerLog log = learning::read_logger("bench.csv", text, options);
        learning::FitRequest request;
        request.file = "bench.csv";
        request.packing = &packings.find(demo::kDemoBoxPacking);
        request.warmers = &supplies.warmers;
        request.contents = demo::MadeLog{}.contents;
        request.film = demo::indoor_film();
        request.inside = std::move(*log.inside);
        request.outside = std::move(*log.outside);
        return request;
    }
};

void fit_read_72_h_of_minutes(benchmark::State& state) {
    const Bench bench;
    for (auto _ : state) benchmark::DoNotOptimize(bench.read());
}

void fit_72_h_of_minutes(benchmark::State& state) {
    const Bench bench;
    for (auto _ : state) {
        const learning::Fit fit = learning::fit_box(bench.read());
        if (!fit.all_told()) throw std::runtime_error("the demo log tells less than it should");
    }
}

BENCHMARK(fit_read_72_h_of_minutes)->Unit(benchmark::kMillisecond);
BENCHMARK(fit_72_h_of_minutes)->Unit(benchmark::kMillisecond);

}  // namespace
