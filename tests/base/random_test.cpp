#include "mildway/base/random.hpp"

#include "catch.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

using namespace mildway;

namespace {

std::vector<float> normals(const RandomStream& stream, std::uint32_t index, std::uint32_t first,
                           std::size_t count) {
    std::vector<float> values(count);
    stream.normals(index, first, values);
    return values;
}

/// Mean of f over a million normal draws.
template <class Function>
double mean_of(const std::vector<float>& values, Function f) {
    double sum = 0;
    for (const float value : values) sum += f(static_cast<double>(value));
    return sum / static_cast<double>(values.size());
}

}  // namespace

TEST_CASE("Values do not depend on how the scenarios are cut into pieces") {
    const RandomStream stream(42, Purpose::leg_time, subject_of("van"));
    const auto whole = normals(stream, 7, 0, 1002);
    std::vector<float> pieces(whole.size());
    for (std::size_t at = 0; at < pieces.size(); at += 4) {
        const std::size_t count = std::min<std::size_t>(4, pieces.size() - at);
        stream.normals(7, static_cast<std::uint32_t>(at), std::span(pieces).subspan(at, count));
    }
    CHECK(pieces == whole);
    CHECK(normals(stream, 7, 400, 100) == std::vector<float>(whole.begin() + 400, whole.begin() + 500));
}

TEST_CASE("Seed purpose subject and index each give other values") {
    const auto base = normals(RandomStream(1, Purpose::leg_time, 1), 1, 0, 8);
    CHECK(normals(RandomStream(1, Purpose::leg_time, 1), 1, 0, 8) == base);
    CHECK(normals(RandomStream(2, Purpose::leg_time, 1), 1, 0, 8) != base);
    CHECK(normals(RandomStream(1ull << 32 | 1, Purpose::leg_time, 1), 1, 0, 8) != base);
    CHECK(normals(RandomStream(1, Purpose::setting_sun, 1), 1, 0, 8) != base);
    CHECK(normals(RandomStream(1, Purpose::leg_time, 2), 1, 0, 8) != base);
    CHECK(normals(RandomStream(1, Purpose::leg_time, 1), 2, 0, 8) != base);
}

TEST_CASE("A million normal draws have the moments of a normal") {
    const auto values = normals(RandomStream(3, Purpose::weather_chain, 9), 0, 0, 1000000);
    // four standard errors of each estimate at n = 1e6: 1/sqrt(n), sqrt(2/n), sqrt(15/n), sqrt(96/n)
    CHECK(std::abs(mean_of(values, [](double x) { return x; })) < 4 * 1e-3);
    CHECK(std::abs(mean_of(values, [](double x) { return x * x; }) - 1) < 4 * std::sqrt(2.0) * 1e-3);
    CHECK(std::abs(mean_of(values, [](double x) { return x * x * x; })) < 4 * std::sqrt(15.0) * 1e-3);
    CHECK(std::abs(mean_of(values, [](double x) { return x * x * x * x; }) - 3) < 4 * std::sqrt(96.0) * 1e-3);
}

TEST_CASE("Neighbouring indices are uncorrelated") {
    const RandomStream stream(3, Purpose::weather_chain, 9);
    const auto one = normals(stream, 1, 0, 1000000);
    const auto two = normals(stream, 2, 0, 1000000);
    double sum = 0;
    for (std::size_t i = 0; i < one.size(); ++i)
        sum += static_cast<double>(one[i]) * static_cast<double>(two[i]);
    CHECK(std::abs(sum / 1e6) < 4e-3);  // four standard errors
}

TEST_CASE("Uniform draws fill the open interval evenly") {
    std::vector<float> values(1000000);
    RandomStream(5, Purpose::warmer_dud, 0).uniforms(0, 0, values);
    std::vector<int> tenths(10, 0);
    for (const float value : values) {
        REQUIRE(value > 0.0f);
        REQUIRE(value < 1.0f);
        ++tenths[static_cast<std::size_t>(value * 10.0f)];
    }
    for (const int count : tenths)
        CHECK(std::abs(count - 100000) < 4 * 300);  // sd sqrt(1e6 * 0.1 * 0.9) = 300
}

TEST_CASE("Subjects are hashed by FNV-1a") {
    // test vectors of the FNV-1a 32-bit reference (Fowler, Noll, Vo)
    CHECK(subject_of("") == 0x811c9dc5u);
    CHECK(subject_of("a") == 0xe40c292cu);
    CHECK(subject_of("foobar") == 0xbf9cf968u);
}
