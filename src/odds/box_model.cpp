#include "mildway/odds/box_model.hpp"

#include "mildway/base/random.hpp"
#include "mildway/box/burning.hpp"
#include "mildway/box/films.hpp"

#include "aligned.hpp"
#include "kernel.hpp"

#include <algorithm>
#include <cmath>

namespace mildway::odds {

static_assert(kMaxModes == static_cast<int>(box::kMaxNodes));

struct BoxModel::Tables {
    std::vector<ModeTable> modes;    ///< [variant][setting]
    std::vector<float> transitions;  ///< [variant][before][after][kMaxModes * kMaxModes]
    std::optional<CoolantTable> coolant;
};

namespace {

constexpr std::size_t kMatrix = kMaxModes * kMaxModes;
constexpr double kFastestAir_m_per_s = 20;  // where box::outside_film ends

/// Mean of what all warmers give in free air over their first day in the parcel, W.
double first_day_power_w(const box::Packing& packing, const box::Warmers& warmers) {
    constexpr int kQuarters = 96;
    double sum_w = 0;
    for (int i = 0; i < kQuarters; ++i) sum_w += box::free_air_power_w(packing, warmers, (i + 0.5) / 4);
    return sum_w / kQuarters;
}

double typical_air_c(const transit::Setting& setting, double outside_c) {
    const double air_c = setting.hold_c + setting.follow * (outside_c - setting.hold_c);
    return setting.heated_to_c ? std::max(*setting.heated_to_c, air_c) : air_c;
}

WattsPerSquareMeterKelvin film_of(const transit::Setting& setting, double quantile) {
    const double speed = setting.air_speed_m_per_s * std::pow(setting.air_speed_factor, quantile);
    return box::outside_film(std::min(speed, kFastestAir_m_per_s));
}

ModeTable mode_table(const box::Modes& modes, const box::Network& network) {
    ModeTable table{};
    for (std::size_t m = 0; m < modes.n; ++m) {
        table.rate_per_s[m] = static_cast<float>(modes.rate_per_s[m]);
        table.time_constant_s[m] = static_cast<float>(1 / modes.rate_per_s[m]);
        table.ambient_gain[m] = static_cast<float>(modes.ambient_gain[m]);
        table.power_gain[m] = static_cast<float>(modes.power_gain[m]);
        table.coolant_gain[m] = static_cast<float>(modes.coolant_gain[m]);
        table.offset[m] = static_cast<float>(modes.offset[m]);
        table.to_animals[m] = static_cast<float>(modes.to_nodes[network.animals][m]);
        table.to_cavity[m] = static_cast<float>(modes.to_nodes[network.cavity][m]);
        double uniform = 0;
        for (std::size_t node = 0; node < modes.n; ++node) uniform += modes.from_nodes[m][node];
        table.from_uniform[m] = static_cast<float>(uniform);
    }
    return table;
}

CoolantTable coolant_table(const box::Coolant& coolant) {
    const double start_j = coolant.heat_at(coolant.start_c);
    return {static_cast<float>(coolant.to_cavity.value()),
            static_cast<float>(coolant.melts_at_c),
            static_cast<float>(coolant.latent_j),
            static_cast<float>(coolant.solid.value()),
            static_cast<float>(coolant.liquid.value()),
            static_cast<float>(start_j),
            static_cast<float>(coolant.above_melting_k(start_j))};
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

BoxModel::BoxModel(const box::Packing& packing, const box::Warmers& warmers, const box::Contents& contents,
                   const transit::Settings& settings, double outside_c)
    : packing_(&packing),
      contents_(contents),
      settings_(settings.all().size()),
      tables_(std::make_unique<Tables>()) {
    const double warmers_w = packing.warmers.empty() ? 0 : first_day_power_w(packing, warmers);
    for (std::size_t v = 0; v < kVariants; ++v) {
        for (const auto& setting : settings.all()) add_variant(v, setting, warmers, warmers_w, outside_c);
    }
    if (const auto& coolant = networks_.front().coolant) tables_->coolant = coolant_table(*coolant);
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

/// The liner's mean temperature lies half-way between the air outside and what the warmers make of it inside.
void BoxModel::add_variant(std::size_t v, const transit::Setting& setting, const box::Warmers& warmers,
                           double warmers_w, double outside_c) {
    const WattsPerSquareMeterKelvin film = film_of(setting, slice_quantile(kAirSpeedOrder[v]));
    box::BoxVariant variant;
    variant.wall_factor = std::max(0.2, 1 + packing_->liner_spread * slice_quantile(kWallOrder[v]));
    variant.animal_heat_factor = 1 + box::kAnimalSpecificHeatSpread * slice_quantile(kAnimalHeatOrder[v]);
    variant.air_factor = std::pow(packing_->air_spread, slice_quantile(kAirOrder[v]));
    variant.liner_c = typical_air_c(setting, outside_c);
    box::Network network = box::build_network(*packing_, warmers, contents_, variant);
    if (!packing_->warmers.empty()) {
        const double air_l_per_h = variant.air_factor * packing_->air_exchange_l_per_h();
        const double power_w = warmers_w * box::settled_oxygen_share(warmers_w, air_l_per_h);
        variant.liner_c += 0.5 * power_w / box::whole_conductance(network, film).value();
        network = box::build_network(*packing_, warmers, contents_, variant);
    }
    variants_.push_back(variant);
    films_.push_back(film);
    networks_.push_back(std::move(network));
    modes_.push_back(box::decompose(networks_.back(), film));
    tables_->modes.push_back(mode_table(modes_.back(), networks_.back()));
}

BoxModel::~BoxModel() = default;
BoxModel::BoxModel(BoxModel&&) noexcept = default;
BoxModel& BoxModel::operator=(BoxModel&&) noexcept = default;

double BoxModel::air_exchange_l_per_h(std::size_t v) const {
    return variants_[v * settings_].air_factor * packing_->air_exchange_l_per_h();
}

BoxTable BoxModel::table(std::size_t v) const {
    return {static_cast<int>(networks_[v * settings_].nodes.size()), static_cast<int>(settings_),
            &tables_->modes[v * settings_], &tables_->transitions[v * settings_ * settings_ * kMatrix],
            tables_->coolant ? &*tables_->coolant : nullptr};
}

}  // namespace mildway::odds
