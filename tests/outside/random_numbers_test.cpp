// The random numbers against published values.
#include "mildway/base/random.hpp"

#include "catch.hpp"

#include <array>
#include <cmath>

using namespace mildway;

namespace {

struct KnownAnswer {
    std::array<std::uint32_t, 4> counter;  ///< block of four scenarios, index, subject, purpose
    std::uint64_t key;
    std::array<std::uint32_t, 4> bits;
};

/// The bits as the uniforms they must become: midpoints of 2^32 equal steps.
std::array<float, 4> as_uniforms(const std::array<std::uint32_t, 4>& bits) {
    std::array<float, 4> values{};
    for (std::size_t i = 0; i < 4; ++i)
        values[i] = static_cast<float>((static_cast<double>(bits[i]) + 0.5) / 4294967296.0);
    return values;
}

}  // namespace

TEST_CASE("Uniforms are the bits of Philox4x32-10 with seed and names in their places") {
    // known-answer tests of Random123 (Salmon, Moraes, Dror and Shaw 2011, SC '11): zeros, and the digits of
    // pi
    const KnownAnswer answers[] = {
        {{0, 0, 0, 0}, 0, {0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8}},
        {{0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344},
         0x299f31d0a4093822,
         {0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1}},
    };
    for (const KnownAnswer& answer : answers) {
        std::array<float, 4> drawn{};
        const RandomStream stream(answer.key, static_cast<Purpose>(answer.counter[3]), answer.counter[2]);
        stream.uniforms(answer.counter[1], answer.counter[0] * 4, drawn);
        CHECK(drawn == as_uniforms(answer.bits));
    }
}

TEST_CASE("Normal quantiles agree with published ones to one in a million") {
    // Abramowitz and Stegun 1964, tables 26.5 and 26.6, and NIST/SEMATECH e-Handbook 1.3.6.7.1; the last is
    // the check value of Wichura 1988 (AS 241) for the far tail. Lower tails, since a float holds 1 - p only
    // coarsely.
    const struct {
        float p;
        double z;
    } published[] = {
        {0.4f, -0.2533471031},   {0.25f, -0.6744897502}, {0.1f, -1.2815515655},   {0.05f, -1.6448536270},
        {0.025f, -1.9599639845}, {0.01f, -2.3263478740}, {0.005f, -2.5758293035}, {0.001f, -3.0902323062},
        {1e-4f, -3.7190164855},  {1e-6f, -4.7534243088}, {1e-20f, -9.2623400898},
    };
    for (const auto& row : published) {
        INFO("p = " << row.p);
        CHECK(std::abs(static_cast<double>(normal_quantile(row.p)) / row.z - 1) < 1e-6);
    }
    CHECK(std::abs(static_cast<double>(normal_quantile(0.975f)) / 1.9599639845 - 1) < 1e-6);
    CHECK(normal_quantile(0.5f) == 0.0f);
}

TEST_CASE("The normal quantile undoes the normal distribution of the C library") {
    for (double z = -5.5; z < 0.01; z += 0.01) {
        const auto p = static_cast<float>(0.5 * std::erfc(-z / std::sqrt(2.0)));
        INFO("z = " << z);
        // a float p is off by half a unit in the 24th bit, which the slope of the quantile turns into up to
        // 1e-7
        REQUIRE(std::abs(static_cast<double>(normal_quantile(p)) - z) < 1e-6);
    }
}
