#include "mildway/odds/late_together.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>
#include <stdexcept>

#include <fmt/format.h>

namespace mildway::odds {

namespace {

using transit::LateOdds;

constexpr std::size_t kChunk = 256;  // of scenarios; a multiple of 4

double upper_tail(double z) {
    return 0.5 * std::erfc(z / std::numbers::sqrt2);
}

/// What a standard normal exceeds with chance p: the single-precision quantile, made better by a Newton step.
double exceeded_with(double p) {
    if (p <= 0) return std::numeric_limits<double>::infinity();
    if (p >= 1) return -std::numeric_limits<double>::infinity();
    const double z = -static_cast<double>(normal_quantile(static_cast<float>(p)));
    const double density = std::exp(-z * z / 2) / std::sqrt(2 * std::numbers::pi);
    return z + (upper_tail(z) - p) / density;
}

/// How the chance that two standard normals of correlation sin(angle) exceed h and k grows with the angle,
/// times 2 pi (Plackett 1954; in the angle as Drezner and Wesolowsky 1990).
double plackett(double h, double k, double angle) {
    const double cosine = std::cos(angle);
    const double sine = std::sin(angle);
    if (cosine < 1e-9) return h == k ? std::exp(-h * h / 2) : 0;
    return std::exp(-((h - k) * (h - k) / (cosine * cosine) / 2 + h * k / (1 + sine)));
}

/// Simpson's rule over the angle, in steps that shrink towards correlation 1, where the integrand may fall
/// off steeply.
double both_exceed(double h, double k, double correlation) {
    constexpr int kSteps = 256;
    const double reach = std::asin(correlation);
    double sum = 0;
    for (int i = 0; i <= kSteps; ++i) {
        const double left = 1 - static_cast<double>(i) / kSteps;
        const double angle = reach * (1 - left * left);
        const double weight = i == 0 || i == kSteps ? 1 : i % 2 == 1 ? 4 : 2;
        sum += weight * 2 * left * plackett(h, k, angle);
    }
    return upper_tail(h) * upper_tail(k) + sum / (3 * kSteps) * reach / (2 * std::numbers::pi);
}

void check(double together) {
    if (!(together >= 0 && together <= 1))
        throw std::invalid_argument(fmt::format("lateness hangs together by {}; expected 0 to 1", together));
}

}  // namespace

std::string night_key(std::string_view place, Date night) {
    return fmt::format("{}, {}", place, format_date(night));
}

LateDraws::LateDraws(std::uint64_t seed, std::string_view night, std::string_view parcel, double together)
    : night_(seed, Purpose::late_night, subject_of(night)),
      parcel_(seed, Purpose::late_parcel, subject_of(fmt::format("{}, {}", night, parcel))),
      of_night_(static_cast<float>(std::sqrt(together))),
      of_parcel_(static_cast<float>(std::sqrt(1 - together))) {
    check(together);
}

void LateDraws::days(LateOdds odds, std::uint32_t first_scenario, std::span<std::uint8_t> days) const {
    const auto late = static_cast<float>(exceeded_with(odds.late()));
    const auto two_late = static_cast<float>(exceeded_with(odds.more_days));
    std::array<float, kChunk> night{};
    std::array<float, kChunk> own{};
    for (std::size_t at = 0; at < days.size(); at += kChunk) {
        const std::size_t count = std::min(kChunk, days.size() - at);
        const auto first = first_scenario + static_cast<std::uint32_t>(at);
        night_.normals(0, first, std::span(night).first(count));
        parcel_.normals(0, first, std::span(own).first(count));
        for (std::size_t s = 0; s < count; ++s) {
            const float badness = of_night_ * night[s] + of_parcel_ * own[s];
            days[at + s] = static_cast<std::uint8_t>((badness > late) + (badness > two_late));
        }
    }
}

double chance_both_late(LateOdds a, LateOdds b, double together) {
    check(together);
    const double least = std::min(a.late(), b.late());
    if (least <= 0) return 0;
    if (together == 1 || std::max(a.late(), b.late()) >= 1) return least;
    return std::clamp(both_exceed(exceeded_with(a.late()), exceeded_with(b.late()), together), 0.0, least);
}

double chance_late_given_other(LateOdds a, LateOdds b, double together) {
    if (b.late() <= 0) return a.late();
    return chance_both_late(a, b, together) / b.late();
}

double lateness_correlation(LateOdds a, LateOdds b, double together) {
    const double spread = a.late() * (1 - a.late()) * b.late() * (1 - b.late());
    if (spread <= 0) return 0;
    return (chance_both_late(a, b, together) - a.late() * b.late()) / std::sqrt(spread);
}

std::string late_together_sentence(LateOdds odds, double together) {
    return fmt::format(
        "if this parcel is late, another of the same night is late, too, with a chance of {:.0f} "
        "in 100",
        100 * chance_late_given_other(odds, odds, together));
}

}  // namespace mildway::odds
