#include "mildway/weather/shared_draws.hpp"

#include "common_draws.hpp"

#include <algorithm>
#include <bit>

namespace mildway::weather {

namespace {

/// Lists of one run begin alike but for the last hour, which depends on how late the destination's trips end.
/// Each takes some 15 MB at 2,048 scenarios.
constexpr std::size_t kMostKept = 6;

bool same_bits(const std::vector<double>& a, const std::vector<double>& b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](double x, double y) {
        return std::bit_cast<std::uint64_t>(x) == std::bit_cast<std::uint64_t>(y);
    });
}

}  // namespace

bool draws_alike(const PlaceOutlook& a, const PlaceOutlook& b) {
    const Outlook& one = a.outlook;
    const Outlook& other = b.outlook;
    return same_bits({a.place.latitude_deg, a.place.longitude_deg, one.error_factor},
                     {b.place.latitude_deg, b.place.longitude_deg, other.error_factor}) &&
           a.place.zone == b.place.zone && a.place.climate == b.place.climate && one.basis == other.basis &&
           one.issued == other.issued && one.first_hour == other.first_hour &&
           one.climate_from == other.climate_from &&
           std::equal(one.temp_c.begin(), one.temp_c.end(), other.temp_c.begin(), other.temp_c.end(),
                      same_bits) &&
           same_bits(one.error_factors, other.error_factors) &&
           same_bits(one.extra_error_k, other.extra_error_k);
}

SharedDraws::SharedDraws() = default;
SharedDraws::~SharedDraws() = default;

SharedDraws::Draws SharedDraws::get(const std::function<bool(const CommonDraws&)>& fits,
                                    const std::function<Draws()>& draw) {
    const std::lock_guard lock(drawing_);
    const auto known =
        std::find_if(kept_.begin(), kept_.end(), [&](const Draws& draws) { return fits(*draws); });
    if (known != kept_.end()) return *known;
    Draws made = draw();
    if (kept_.size() < kMostKept) kept_.push_back(made);
    return made;
}

}  // namespace mildway::weather
