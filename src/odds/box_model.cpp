#include "mildway/odds/box_model.hpp"

#include "mildway/base/random.hpp"
#include "mildway/box/films.hpp"

#include "aligned.hpp"
#include "kernel.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace mildway::odds {

static_assert(kMaxModes == static_cast<int>(box::kMaxNodes));

struct BoxModel::Tables {
    std::vector<ModeTable> modes;    ///< [variant][setting]
    std::vector<float> transitions;  ///< [variant][before][after][kMaxModes * kMaxModes]
};

namespace {

constexpr std::size_t kMatrix = kMaxModes * kMaxModes;

/// The i-th of kVariants values that stand for a normal distribution: the quantiles in the middle of equal
/// slices, widened by what slicing takes from their standard deviation (they alone would have 0.92), so that
/// it is 1.
double slice_quantile(std::size_t i) {
    const auto middle = [](std::size_t slice) {
        return static_cast<double>(
            normal_quantile((static_cast<float>(slice) + 0.5f) / static_cast<float>(BoxModel::kVariants)));
    };
    double squares = 0;
    for (std::size_t slice = 0; slice < BoxModel::kVariants; ++slice)
        squares += middle(slice) * middle(slice);
    return middle(i) / std::sqrt(squares / BoxModel::kVariants);
}

box::BoxVariant variant(std::size_t i, double wall_spread) {
    // of all orders of eight, one whose normal quantiles are uncorrelated with those of 0..7
    constexpr std::array<std::size_t, BoxModel::kVariants> kShuffle{1, 3, 4, 6, 5, 7, 0, 2};
    return {std::max(0.2, 1 + wall_spread * slice_quantile(i)),
            1 + box::kAnimalSpecificHeatSpread * slice_quantile(kShuffle[i])};
}

ModeTable mode_table(const box::Modes& modes, std::size_t animals) {
    ModeTable table{};
    for (std::size_t m = 0; m < modes.n; ++m) {
        table.rate_per_s[m] = static_cast<float>(modes.rate_per_s[m]);
        table.time_constant_s[m] = static_cast<float>(1 / modes.rate_per_s[m]);
        table.ambient_gain[m] = static_cast<float>(modes.ambient_gain[m]);
        table.power_gain[m] = static_cast<float>(modes.power_gain[m]);
        table.offset[m] = static_cast<float>(modes.offset[m]);
        table.to_animals[m] = static_cast<float>(modes.to_nodes[animals][m]);
        double uniform = 0;
        for (std::size_t node = 0; node < modes.n; ++node) uniform += modes.from_nodes[m][node];
        table.from_uniform[m] = static_cast<float>(uniform);
    }
    return table;
}

/// Amplitudes after = (from_nodes of the setting after) * (to_nodes of the setting before) * amplitudes
/// before.
void write_transition(const box::Modes& before, const box::Modes& after, float* matrix) {
    for (std::size_t row = 0; row < before.n; ++row) {
        for (std::size_t m = 0; m < before.n; ++m) {
            double sum = 0;
            for (std::size_t node = 0; node < before.n; ++node)
                sum += after.from_nodes[row][node] * before.to_nodes[node][m];
            matrix[row * kMaxModes + m] = static_cast<float>(sum);
        }
    }
}

}  // namespace

BoxModel::BoxModel(const box::Packing& packing, const box::Warmers& warmers, const box::Contents& contents,
                   const transit::Settings& settings)
    : packing_(&packing),
      contents_(contents),
      settings_(settings.all().size()),
      tables_(std::make_unique<Tables>()) {
    for (std::size_t v = 0; v < kVariants; ++v) {
        networks_.push_back(box::build_network(packing, warmers, contents, variant(v, packing.liner_spread)));
        for (const auto& setting : settings.all()) {
            modes_.push_back(box::decompose(networks_.back(), box::outside_film(setting.air_speed_m_per_s)));
            tables_->modes.push_back(mode_table(modes_.back(), networks_.back().animals));
        }
    }
    tables_->transitions.resize(kVariants * settings_ * settings_ * kMatrix);
    float* matrix = tables_->transitions.data();
    for (std::size_t v = 0; v < kVariants; ++v) {
        for (std::size_t before = 0; before < settings_; ++before) {
            for (std::size_t after = 0; after < settings_; ++after, matrix += kMatrix) {
                write_transition(modes(v, before), modes(v, after), matrix);
            }
        }
    }
}

BoxModel::~BoxModel() = default;
BoxModel::BoxModel(BoxModel&&) noexcept = default;
BoxModel& BoxModel::operator=(BoxModel&&) noexcept = default;

const box::Modes& BoxModel::modes(std::size_t v, std::size_t setting) const {
    return modes_[v * settings_ + setting];
}

BoxTable BoxModel::table(std::size_t v) const {
    return {static_cast<int>(networks_[v].nodes.size()), static_cast<int>(settings_),
            &tables_->modes[v * settings_], &tables_->transitions[v * settings_ * settings_ * kMatrix]};
}

}  // namespace mildway::odds
