#include "mildway/weather/sampled_weather.hpp"

#include "mildway/base/parallel.hpp"
#include "mildway/base/random.hpp"
#include "mildway/weather/outlook_error.hpp"

#include "error_nodes.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>
#include <stdexcept>

namespace mildway::weather {

namespace {

/// Scenarios worked on together: enough to use wide registers, few enough that all nodes of a spot stay in
/// the cache.
constexpr std::size_t kChunk = 128;
static_assert(kChunk % 4 == 0);

using Row = std::array<float, kChunk>;

/// Which member of an ensemble each scenario rests on. A deck of scenarios, as many as there are members, has
/// each of them once, shuffled: in plain turns, 32 members would meet only some of the box variants, which
/// also change from scenario to scenario by a fixed rule (mildway/odds/box_model.hpp). Depends on the number
/// of members, not on the place: a scenario rests on the same member everywhere.
class MemberDeal {
public:
    MemberDeal(std::uint64_t seed, std::size_t members)
        : stream_(seed, Purpose::weather_chain, subject_of("members of an ensemble")), draw_(members) {}

    [[nodiscard]] std::vector<std::uint32_t> deal(std::uint32_t first_scenario, std::size_t size) {
        if (draw_.size() == 1) return std::vector<std::uint32_t>(size, 0);
        std::vector<std::uint32_t> out;
        out.reserve(size);
        const auto members = static_cast<std::uint32_t>(draw_.size());
        while (out.size() < size) {
            const std::uint32_t scenario = first_scenario + static_cast<std::uint32_t>(out.size());
            shuffle(scenario / members);
            for (std::uint32_t i = scenario % members; i < members && out.size() < size; ++i)
                out.push_back(order_[i]);
        }
        return out;
    }

private:
    void shuffle(std::uint32_t deck) {
        stream_.uniforms(deck, 0, draw_);
        order_.resize(draw_.size());
        std::iota(order_.begin(), order_.end(), 0u);
        std::stable_sort(order_.begin(), order_.end(),
                         [&](std::uint32_t a, std::uint32_t b) { return draw_[a] < draw_[b]; });
    }

    RandomStream stream_;
    std::vector<float> draw_;
    std::vector<std::uint32_t> order_;
};

/// Published forecasts are a shade too cold; ensembles and climates are taken as they are.
double mean_correction_k(const Outlook& outlook, Instant hour) {
    return outlook.basis == Basis::forecast && !is_climate(outlook, hour) ? kMeanCorrectionK : 0;
}

/// Draws the errors of one chunk of scenarios.
class ChunkSampler {
public:
    ChunkSampler(const ErrorLattice& lattice, std::uint64_t seed, std::uint32_t first_scenario,
                 std::size_t size)
        : lattice_(lattice), seed_(seed), first_scenario_(first_scenario), size_(size) {
        for (const Spot& spot : lattice_.spots) errors_.push_back(own_draws(spot));
        mix_spots();
        for (std::size_t i = 0; i < lattice_.spots.size(); ++i) scale(lattice_.spots[i], errors_[i]);
    }

    /// Writes forecast plus error for every hour of the window.
    void write(const PlaceOutlook& at, std::size_t spot, Instant window_start, std::uint32_t hour_count,
               std::uint32_t scenarios, float* out) const {
        const RandomStream stream(seed_, Purpose::weather_residual, lattice_.spots[spot].subject);
        const auto memory = static_cast<float>(std::exp(-1 / kResidualTimeH));
        const float fresh = static_cast<float>(kResidualSdK) * std::sqrt(1 - memory * memory);
        const Outlook& outlook = at.outlook;
        const std::vector<std::uint32_t> members =
            MemberDeal(seed_, outlook.temp_c.size()).deal(first_scenario_, size_);
        const Instant window_end = window_start + hours(hour_count);
        std::size_t node = 0;
        Row draw{};
        Row residual{};
        // from the outlook's own beginning, so that an hour's draw does not depend on where the window starts
        for (Instant hour = std::min(outlook.first_hour, window_start); hour < window_end; hour += hours(1)) {
            const bool known = hour >= outlook.first_hour && hour < outlook.end();
            if (known) {
                stream.normals(hour_number(hour), first_scenario_, std::span(draw.data(), size_));
                const bool begins = hour == outlook.first_hour;
                const float keep = begins ? 0.0f : memory;
                const float add = begins ? static_cast<float>(kResidualSdK) : fresh;
                for (std::size_t s = 0; s < size_; ++s) residual[s] = keep * residual[s] + add * draw[s];
            }
            if (hour < window_start) continue;
            float* row = out + static_cast<std::size_t>((hour - window_start) / hours(1)) * scenarios +
                         first_scenario_;
            if (!known) {
                std::fill_n(row, size_, std::numeric_limits<float>::quiet_NaN());
                continue;
            }
            add_forecast(outlook, hour, members, residual, row);
            node = node_before(spot, hour, node);
            add_error(spot, hour, node, row);
        }
    }

private:
    using Rows = std::vector<Row>;  // [node]

    static std::uint32_t hour_number(Instant hour) {
        return static_cast<std::uint32_t>(hour.time_since_epoch() / hours(1));
    }

    [[nodiscard]] std::uint32_t number(std::size_t node) const {
        return static_cast<std::uint32_t>(lattice_.first_number) + static_cast<std::uint32_t>(node);
    }

    /// Standard normal errors of a spot as if it were alone.
    [[nodiscard]] Rows own_draws(const Spot& spot) const {
        std::array<Row, 2> steady{};
        const RandomStream phases(seed_, Purpose::weather_phase, spot.subject);
        for (std::uint32_t phase = 0; phase < 2; ++phase) {
            phases.normals(phase, first_scenario_, std::span(steady[phase].data(), size_));
        }
        const RandomStream stream(seed_, Purpose::weather_chain, spot.subject);
        Rows rows(spot.nodes.size());
        Row chain{};
        Row draw{};
        for (std::size_t i = 0; i < rows.size(); ++i) {
            const ErrorNode& node = spot.nodes[i];
            stream.normals(number(i), first_scenario_, std::span(draw.data(), size_));
            const auto keep = static_cast<float>(node.memory);
            const auto fresh = static_cast<float>(std::sqrt(1 - node.memory * node.memory));
            const auto steady_weight = static_cast<float>(node.steady_weight);
            const auto chain_weight = static_cast<float>(node.chain_weight);
            const Row& phase = steady[number(i) % 2];
            for (std::size_t s = 0; s < size_; ++s) {
                chain[s] = keep * chain[s] + fresh * draw[s];
                rows[i][s] = steady_weight * phase[s] + chain_weight * chain[s];
            }
        }
        return rows;
    }

    /// Correlates the spots at each node; from the last to the first, so that it can be done in place.
    void mix_spots() {
        for (std::size_t node = 0; node < lattice_.node_count(); ++node) {
            const std::vector<double>& lower = lattice_.mixing[node];
            for (std::size_t i = errors_.size(); i-- > 0;) {
                Row& row = errors_[i][node];
                const double* weights = lower.data() + i * (i + 1) / 2;
                for (std::size_t s = 0; s < size_; ++s) row[s] *= static_cast<float>(weights[i]);
                for (std::size_t j = 0; j < i; ++j) {
                    const auto weight = static_cast<float>(weights[j]);
                    const Row& other = errors_[j][node];
                    for (std::size_t s = 0; s < size_; ++s) row[s] += weight * other[s];
                }
            }
        }
    }

    /// From standard normal to K, with heavier tails at short lead.
    void scale(const Spot& spot, Rows& rows) const {
        const RandomStream tails(seed_, Purpose::weather_tail, spot.subject);
        std::array<Row, 3> uniform{};
        static_assert(kStudentDegrees == 6, "three uniforms make a chi-square of six degrees");
        for (std::size_t i = 0; i < rows.size(); ++i) {
            const auto sd_k = static_cast<float>(spot.nodes[i].sd_k);
            for (std::size_t s = 0; s < size_; ++s) rows[i][s] *= sd_k;
            if (!spot.nodes[i].heavy_tailed) continue;
            for (std::uint32_t k = 0; k < 3; ++k) {
                tails.uniforms(3 * number(i) + k, first_scenario_, std::span(uniform[k].data(), size_));
            }
            for (std::size_t s = 0; s < size_; ++s) {
                const float chi_square = -2 * std::log(uniform[0][s] * uniform[1][s] * uniform[2][s]);
                rows[i][s] *= std::sqrt(static_cast<float>(kStudentDegrees - 2) / chi_square);
            }
        }
    }

    [[nodiscard]] std::size_t node_before(std::size_t spot, Instant hour, std::size_t hint) const {
        const std::vector<ErrorNode>& nodes = lattice_.spots[spot].nodes;
        while (hint + 2 < nodes.size() && nodes[hint + 1].when <= hour) ++hint;
        return hint;
    }

    void add_forecast(const Outlook& outlook, Instant hour, const std::vector<std::uint32_t>& members,
                      const Row& residual, float* row) const {
        const auto i = static_cast<std::size_t>((hour - outlook.first_hour) / hours(1));
        const double correction_k = mean_correction_k(outlook, hour);
        if (outlook.temp_c.size() == 1) {
            const auto mean_c = static_cast<float>(outlook.temp_c.front()[i] + correction_k);
            for (std::size_t s = 0; s < size_; ++s) row[s] = mean_c + residual[s];
            return;
        }
        for (std::size_t s = 0; s < size_; ++s)
            row[s] = static_cast<float>(outlook.temp_c[members[s]][i] + correction_k) + residual[s];
    }

    void add_error(std::size_t spot, Instant hour, std::size_t node, float* row) const {
        const std::vector<ErrorNode>& nodes = lattice_.spots[spot].nodes;
        const auto later = static_cast<float>(in_hours(hour - nodes[node].when) /
                                              in_hours(nodes[node + 1].when - nodes[node].when));
        const float earlier = 1 - later;
        const Row& before = errors_[spot][node];
        const Row& after = errors_[spot][node + 1];
        for (std::size_t s = 0; s < size_; ++s) row[s] += earlier * before[s] + later * after[s];
    }

    const ErrorLattice& lattice_;
    std::uint64_t seed_;
    std::uint32_t first_scenario_;
    std::size_t size_;
    std::vector<Rows> errors_;  // [spot]
};

void check(std::span<const PlaceOutlook> places, Instant from, Instant to, std::uint32_t scenarios) {
    if (places.empty()) throw std::invalid_argument("there is no place to sample the weather of");
    if (to < from) throw std::invalid_argument("the window of weather ends before it begins");
    if (scenarios == 0 || scenarios % 4 != 0) {
        throw std::invalid_argument("the number of scenarios must be a multiple of 4, and not 0");
    }
    for (const PlaceOutlook& at : places) {
        if (at.outlook.temp_c.empty())
            throw std::invalid_argument("an outlook without a series cannot be sampled");
    }
}

}  // namespace

SampledWeather::SampledWeather(std::span<const PlaceOutlook> places, Instant from, Instant to,
                               const SamplingOptions& options)
    : scenarios_(options.scenarios), first_hour_(date::floor<hours>(from)) {
    check(places, from, to, options.scenarios);
    hour_count_ = static_cast<std::uint32_t>((date::ceil<hours>(to) - first_hour_) / hours(1)) + 1;
    const ErrorLattice lattice = lay_out_errors(places, date::ceil<hours>(to));
    for (std::size_t i = 0; i < places.size(); ++i)
        temp_c_.emplace_back(std::size_t{hour_count_} * scenarios_);

    const std::size_t chunks = (scenarios_ + kChunk - 1) / kChunk;
    parallel_for(chunks, options.threads, [&](std::size_t chunk) {
        const auto first = static_cast<std::uint32_t>(chunk * kChunk);
        const std::size_t size = std::min<std::size_t>(kChunk, scenarios_ - first);
        const ChunkSampler sampler(lattice, options.seed, first, size);
        for (std::size_t place = 0; place < places.size(); ++place) {
            sampler.write(places[place], lattice.spot_of_place[place], first_hour_, hour_count_, scenarios_,
                          temp_c_[place].data());
        }
    });
}

std::span<const float> SampledWeather::hour(std::size_t place, std::uint32_t hour) const {
    return std::span(temp_c_.at(place)).subspan(std::size_t{hour} * scenarios_, scenarios_);
}

std::span<const float> SampledWeather::block(std::size_t place) const {
    return temp_c_.at(place);
}

}  // namespace mildway::weather
