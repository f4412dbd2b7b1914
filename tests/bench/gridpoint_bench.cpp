// Reading gridpoint answers, beside parsers that only build a tree of the same bytes.
#include "mildway/base/files.hpp"
#include "mildway/base/json_answer.hpp"
#include "mildway/weather/gridpoint.hpp"

#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

#include <benchmark/benchmark.h>
#include <nlohmann/json.hpp>

using namespace mildway;
namespace fs = std::filesystem;

namespace {

constexpr std::size_t kLargest = 8u << 20;

std::vector<std::string> texts_in(const fs::path& folder) {
    std::vector<fs::path> files;
    for (const auto& entry : fs::directory_iterator(folder)) files.push_back(entry.path());
    std::sort(files.begin(), files.end());
    std::vector<std::string> texts;
    for (const fs::path& file : files) texts.push_back(read_file(file, kLargest));
    return texts;
}

/// The answers named by the argument: 0 the demo's, 1 the recordings beside MILDWAY_SHARED_DATA.
std::vector<std::string> answers(benchmark::State& state) {
    if (state.range(0) == 0) return texts_in(fs::path(MILDWAY_SOURCE_DIR) / "fixtures/demo/weather");
    const fs::path recordings =
        fs::path(MILDWAY_SHARED_DATA).parent_path() / "weather/recorded/nws/gridpoints_reanchored";
    if (fs::exists(recordings)) return texts_in(recordings);
    state.SkipWithError("there are no recordings beside MILDWAY_SHARED_DATA");
    return {};
}

template <class Parse>
void measure(benchmark::State& state, const Parse& parse) {
    const std::vector<std::string> texts = answers(state);
    std::size_t bytes = 0;
    for (const std::string& text : texts) bytes += text.size();
    for (auto _ : state) {
        for (const std::string& text : texts) benchmark::DoNotOptimize(parse(text));
    }
    state.SetBytesProcessed(static_cast<std::int64_t>(bytes) * state.iterations());
}

void gridpoint_parse(benchmark::State& state) {
    measure(state, [](const std::string& text) { return weather::parse_gridpoint("bench", text); });
}

void gridpoint_json_answer(benchmark::State& state) {
    measure(state, [](const std::string& text) { return JsonAnswer("bench", text); });
}

void gridpoint_nlohmann(benchmark::State& state) {
    measure(state, [](const std::string& text) { return nlohmann::json::parse(text); });
}

BENCHMARK(gridpoint_parse)->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond);
BENCHMARK(gridpoint_json_answer)->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond);
BENCHMARK(gridpoint_nlohmann)->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond);

}  // namespace
