// Whole processes: `mildway plan` from start to exit, and the memory it takes.
#include "mildway/base/files.hpp"

#include "../../fixtures/demo/demo_weather.hpp"
#include "../../src/cli/run.hpp"
#include "bench_program.hpp"

#include <filesystem>
#include <fstream>
#include <sstream>
#include <stdexcept>

#include <benchmark/benchmark.h>
#include <nlohmann/json.hpp>
#include <unistd.h>

using namespace mildway;
namespace fs = std::filesystem;
using bench::run_program;
using bench::Usage;

namespace {

/// A workspace in a folder of its own, removed at the end.
class BenchWorkspace {
public:
    BenchWorkspace() {
        std::string pattern = (fs::temp_directory_path() / "mildway-bench-XXXXXX").string();
        if (mkdtemp(pattern.data()) == nullptr) throw std::runtime_error("no temporary folder");
        folder_ = pattern;
        std::ostringstream said;
        cli::Console console{said, said, [] { return Instant{}; }, 1};
        if (cli::run({"init", folder_.string()}, console) != cli::kDone) throw std::runtime_error(said.str());
        fs::copy(fs::path(MILDWAY_SOURCE_DIR) / "fixtures/demo/weather", folder_ / "weather",
                 fs::copy_options::recursive | fs::copy_options::overwrite_existing);
    }
    ~BenchWorkspace() { fs::remove_all(folder_); }
    BenchWorkspace(const BenchWorkspace&) = delete;
    BenchWorkspace& operator=(const BenchWorkspace&) = delete;

    [[nodiscard]] const fs::path& folder() const { return folder_; }

    /// 24 packings, every day a service day, sixteen days of weather.
    void enlarge() const {
        nlohmann::json packings = read("packings.json");
        auto& list = packings["packings"];
        const std::size_t shipped = list.size();
        for (std::size_t i = 0; list.size() < 24; ++i) {
            nlohmann::json variant = list[i % shipped];
            variant["id"] = variant["id"].get<std::string>() + "-thicker-" + std::to_string(i);
            variant["liner"]["thickness_mm"] =
                variant["liner"]["thickness_mm"].get<int>() + 3 + static_cast<int>(i);
            list.push_back(variant);
        }
        write("packings.json", packings);
        nlohmann::json services = read("services.json");
        for (auto& service : services["services"])
            service["accepts"] = service["delivers"] = {"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};
        write("services.json", services);
        for (const auto& at : demo::kDemoPlaces)
            write_file(folder_ / "weather" / (std::string(at.slug) + ".json"), long_forecast(at));
    }

private:
    [[nodiscard]] nlohmann::json read(const char* file) const {
        return nlohmann::json::parse(std::ifstream(folder_ / file));
    }
    void write(const char* file, const nlohmann::json& content) const {
        write_file(folder_ / file, content.dump(1));
    }

    /// The demo's weather of a place, carried on to the longest forecast that is believed.
    [[nodiscard]] static std::string long_forecast(const demo::DemoPlace& at) {
        constexpr int kLongHours = 384;
        auto document = nlohmann::json::parse(demo::demo_gridpoint(at));
        const auto layer = [&](const char* name, const char* unit, auto value) {
            document["properties"][name] = nlohmann::json::parse(
                "{" + demo::layer_text(name, unit, demo::merged(kLongHours, value)) + "}")[name];
        };
        layer("temperature", "degC", [&](int hour) { return demo::demo_temp_c(at, hour); });
        layer("skyCover", "percent", [&](int hour) { return demo::demo_cloud_pct(at, hour); });
        layer("windSpeed", "km_h-1", [&](int hour) { return demo::demo_wind_km_h(at, hour); });
        document["properties"]["validTimes"] =
            std::string(demo::kFirstHour) + "/" + demo::duration_text(kLongHours);
        return document.dump();
    }

    fs::path folder_;
};

void plan(benchmark::State& state, bool large) {
    const BenchWorkspace workspace;
    if (large) workspace.enlarge();
    const std::vector<std::string> arguments{"plan",
                                             "--workspace",
                                             workspace.folder().string(),
                                             "--to",
                                             "Duluth MN",
                                             "--species",
                                             "crested gecko",
                                             "--now",
                                             "2027-03-01T13:00:00Z",
                                             "--recorded",
                                             (workspace.folder() / "weather").string(),
                                             "--days",
                                             large ? "14" : "7",
                                             "--threads",
                                             std::to_string(state.range(0))};
    double peak_mb = 0;
    for (auto _ : state) {
        const Usage usage = run_program(arguments);
        state.SetIterationTime(usage.seconds);
        peak_mb = std::max(peak_mb, usage.peak_mb);
    }
    state.counters["peak_MB"] = peak_mb;
}

BENCHMARK_CAPTURE(plan, demo_week, false)
    ->ArgName("threads")
    ->Arg(1)
    ->Arg(2)
    ->UseManualTime()
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(plan, fourteen_days_24_packings, true)
    ->ArgName("threads")
    ->Arg(1)
    ->Arg(2)
    ->UseManualTime()
    ->Unit(benchmark::kMillisecond);

}  // namespace
