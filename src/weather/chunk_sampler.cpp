#include "chunk_sampler.hpp"

#include "mildway/base/random.hpp"
#include "mildway/weather/outlook_error.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <utility>

namespace mildway::weather {

namespace {

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

std::uint32_t hour_number(Instant hour) {
    return static_cast<std::uint32_t>(hour.time_since_epoch() / hours(1));
}

}  // namespace

ChunkSampler::ChunkSampler(const ErrorLattice& lattice, std::uint64_t seed, std::uint32_t first_scenario,
                           std::size_t size, std::span<const Rows> known)
    : lattice_(lattice),
      seed_(seed),
      first_scenario_(first_scenario),
      size_(size),
      known_(known),
      own_(lattice.spots.size()),
      errors_(lattice.spots.size()) {}

void ChunkSampler::write(const PlaceOutlook& at, std::size_t spot, const Window& window,
                         std::uint32_t scenarios, float* out) {
    const RandomStream stream(seed_, Purpose::weather_residual, lattice_.spots[spot].subject);
    const auto memory = static_cast<float>(std::exp(-1 / kResidualTimeH));
    const float fresh = static_cast<float>(kResidualSdK) * std::sqrt(1 - memory * memory);
    const Outlook& outlook = at.outlook;
    const std::vector<std::uint32_t> members =
        MemberDeal(seed_, outlook.temp_c.size()).deal(first_scenario_, size_);
    const Instant window_end = window.first_hour + hours(window.hour_count);
    std::size_t node = 0;
    Row draw{};
    Row residual{};
    // from the outlook's own beginning, so that an hour's draw does not depend on where the window starts
    for (Instant hour = std::min(outlook.first_hour, window.first_hour); hour < window_end;
         hour += hours(1)) {
        const bool known = hour >= outlook.first_hour && hour < outlook.end();
        if (known) {
            stream.normals(hour_number(hour), first_scenario_, std::span(draw.data(), size_));
            const bool begins = hour == outlook.first_hour;
            const float keep = begins ? 0.0f : memory;
            const float add = begins ? static_cast<float>(kResidualSdK) : fresh;
            for (std::size_t s = 0; s < size_; ++s) residual[s] = keep * residual[s] + add * draw[s];
        }
        if (hour < window.first_hour) continue;
        float* row = out + static_cast<std::size_t>((hour - window.first_hour) / hours(1)) * scenarios +
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

std::vector<Rows> ChunkSampler::take_own(std::size_t spots) {
    std::vector<Rows> taken;
    for (std::size_t i = 0; i < spots; ++i) {
        own(i);
        taken.push_back(std::move(*own_[i]));
    }
    return taken;
}

const Rows& ChunkSampler::own(std::size_t spot) {
    if (spot < known_.size()) return known_[spot];
    if (!own_[spot]) own_[spot] = draw_own(lattice_.spots[spot]);
    return *own_[spot];
}

const Rows& ChunkSampler::errors(std::size_t spot) {
    if (!errors_[spot]) {
        errors_[spot] = mixed(spot);
        scale(lattice_.spots[spot], *errors_[spot]);
    }
    return *errors_[spot];
}

Rows ChunkSampler::draw_own(const Spot& spot) const {
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

/// Correlates a spot at each node with those before it.
Rows ChunkSampler::mixed(std::size_t spot) {
    Rows rows = own(spot);
    for (std::size_t node = 0; node < rows.size(); ++node) {
        Row& row = rows[node];
        const double* weights = lattice_.mixing[node].data() + spot * (spot + 1) / 2;
        for (std::size_t s = 0; s < size_; ++s) row[s] *= static_cast<float>(weights[spot]);
        for (std::size_t j = 0; j < spot; ++j) {
            const auto weight = static_cast<float>(weights[j]);
            const Row& other = own(j)[node];
            for (std::size_t s = 0; s < size_; ++s) row[s] += weight * other[s];
        }
    }
    return rows;
}

/// From standard normal to K, with heavier tails at short lead.
void ChunkSampler::scale(const Spot& spot, Rows& rows) const {
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

std::size_t ChunkSampler::node_before(std::size_t spot, Instant hour, std::size_t hint) const {
    const std::vector<ErrorNode>& nodes = lattice_.spots[spot].nodes;
    while (hint + 2 < nodes.size() && nodes[hint + 1].when <= hour) ++hint;
    return hint;
}

void ChunkSampler::add_forecast(const Outlook& outlook, Instant hour,
                                const std::vector<std::uint32_t>& members, const Row& residual,
                                float* row) const {
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

void ChunkSampler::add_error(std::size_t spot, Instant hour, std::size_t node, float* row) {
    const std::vector<ErrorNode>& nodes = lattice_.spots[spot].nodes;
    const auto later = static_cast<float>(in_hours(hour - nodes[node].when) /
                                          in_hours(nodes[node + 1].when - nodes[node].when));
    const float earlier = 1 - later;
    const Row& before = errors(spot)[node];
    const Row& after = errors(spot)[node + 1];
    for (std::size_t s = 0; s < size_; ++s) row[s] += earlier * before[s] + later * after[s];
}

}  // namespace mildway::weather
