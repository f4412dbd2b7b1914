// Whole processes over a large order book: `check`, `week` and `order list`.
#include "mildway/base/files.hpp"
#include "mildway/orders/order_book.hpp"
#include "mildway/planning/workspace.hpp"

#include "../../fixtures/demo/demo_weather.hpp"
#include "../../src/cli/run.hpp"
#include "bench_program.hpp"

#include <sstream>

#include <benchmark/benchmark.h>

using namespace mildway;
namespace fs = std::filesystem;

namespace {

constexpr const char* kNow = "2027-03-01T13:00:00Z";
constexpr int kTowns = 200;

/// So many orders to 200 towns, each with a forecast of its own; planned ones for Monday to Thursday.
class OrdersWorkspace {
public:
    OrdersWorkspace(int orders, bool planned) {
        std::string pattern = (fs::temp_directory_path() / "mildway-bench-XXXXXX").string();
        if (mkdtemp(pattern.data()) == nullptr) throw std::runtime_error("no temporary folder");
        folder_ = pattern;
        std::ostringstream said;
        cli::Console console{said, said, [] { return Instant{}; }, 1};
        if (cli::run({"init", folder_.string()}, console) != cli::kDone) throw std::runtime_error(said.str());
        fs::copy(fs::path(MILDWAY_SOURCE_DIR) / "fixtures/demo/weather", folder_ / "weather");
        for (int i = 0; i < kTowns; ++i) add_town(i);
        add_orders(orders, planned);
    }
    ~OrdersWorkspace() { fs::remove_all(folder_); }
    OrdersWorkspace(const OrdersWorkspace&) = delete;
    OrdersWorkspace& operator=(const OrdersWorkspace&) = delete;

    [[nodiscard]] std::vector<std::string> arguments(std::vector<std::string> words) const {
        const std::vector<std::string> common{"--workspace", folder_.string(), "--now", kNow};
        words.insert(words.end(), common.begin(), common.end());
        return words;
    }
    [[nodiscard]] std::string weather() const { return (folder_ / "weather").string(); }
    [[nodiscard]] double book_mb() const {
        return static_cast<double>(fs::file_size(folder_ / orders::kBookFile)) / 1e6;
    }

private:
    void add_town(int i) {
        demo::DemoPlace town = demo::kDemoPlaces.at(3 + static_cast<std::size_t>(i) % 5);
        const std::string name = "Town " + std::to_string(i);
        town.place.name = name;
        town.place.latitude_deg += 0.5 + 0.05 * (i / 5);
        town.high_c += 0.1 * (i % 7);
        write_file(folder_ / "weather" / ("town-" + std::to_string(i) + ".json"), demo::demo_gridpoint(town));
        towns_.push_back(town.place);
    }

    /// As the check lays them anew.
    static void lay_times(orders::Choice& choice, const planning::Workspace& workspace, const Place& to) {
        const transit::Service& service = workspace.services.find(choice.service);
        const transit::Route route(service, workspace.settings,
                                   transit::lane_of(service, {workspace.origin, workspace.counter}, to),
                                   workspace.hand_over);
        const auto trip = std::get<transit::Trip>(route.lay(choice.ship_date, choice.chosen));
        choice.packed = trip.packed;
        choice.handed_over = trip.handed_over;
        choice.cut_off = trip.cut_off;
        choice.promised = trip.promised;
        choice.delivery_date = trip.delivery_date;
    }

    void add_orders(int count, bool planned) {
        const auto workspace = planning::Workspace::load(folder_);
        const auto& species = workspace.species.all();
        const auto& packings = workspace.packings.all();
        const char* const services[] = {"night-air", "night-air+held"};
        orders::OrderBook book(folder_ / orders::kBookFile, orders::OrderBook::Access::write);
        orders::Change change(book, *parse_instant("2027-02-28T12:00:00Z"));
        for (int i = 0; i < count; ++i) {
            const auto k = static_cast<std::size_t>(i);
            orders::Order order;
            order.number = "N-" + std::to_string(i);
            order.buyer = {"Buyer " + std::to_string(i), "b" + std::to_string(i) + "@example.org", "", {}};
            order.place = towns_[k % towns_.size()];
            order.destination = order.place.name;
            order.species = species[(k * 7) % species.size()].id;
            order.animals.resize(1);
            order = change.add(order);
            if (!planned) continue;
            orders::Choice choice;
            choice.ship_date = Date{date::sys_days(date::year{2027} / 3 / 1) + date::days(i / kTowns % 4)};
            choice.service = services[i / (4 * kTowns) % 2];
            choice.packing = packings[(k * 3) % packings.size()].id;
            lay_times(choice, workspace, order.place);
            choice.verdict = Verdict::tight;
            choice.hours_outside = 1;
            choice.chance_outside = 0.2;
            choice.chance_harm = 0;
            choice.document = "{}";
            change.choose(order, choice);
        }
        change.commit();
    }

    fs::path folder_;
    std::vector<Place> towns_;
};

void time_program(benchmark::State& state, const std::vector<std::string>& arguments) {
    double peak_mb = 0;
    for (auto _ : state) {
        const bench::Usage usage = bench::run_program(arguments);
        state.SetIterationTime(usage.seconds);
        peak_mb = std::max(peak_mb, usage.peak_mb);
    }
    state.counters["peak_MB"] = peak_mb;
}

void check(benchmark::State& state) {
    const OrdersWorkspace workspace(static_cast<int>(state.range(0)), true);
    time_program(state, workspace.arguments({"check", "--dry-run", "--recorded", workspace.weather()}));
    state.counters["book_MB"] = workspace.book_mb();
}

void order_list(benchmark::State& state) {
    const OrdersWorkspace workspace(static_cast<int>(state.range(0)), true);
    time_program(state, workspace.arguments({"order", "list"}));
}

void week(benchmark::State& state) {
    const OrdersWorkspace workspace(static_cast<int>(state.range(0)), false);
    time_program(state, workspace.arguments({"week", "--recorded", workspace.weather()}));
}

BENCHMARK(check)->ArgName("orders")->Arg(1000)->Arg(10000)->UseManualTime()->Iterations(1)->Unit(
    benchmark::kSecond);
BENCHMARK(order_list)
    ->ArgName("orders")
    ->Arg(1000)
    ->Arg(10000)
    ->UseManualTime()
    ->Iterations(10)
    ->Unit(benchmark::kMillisecond);
BENCHMARK(week)->ArgName("orders")->Arg(50)->Arg(200)->UseManualTime()->Iterations(1)->Unit(
    benchmark::kSecond);

}  // namespace
