#include "mildway/base/parallel.hpp"

#include "catch.hpp"

#include <atomic>
#include <stdexcept>
#include <vector>

using mildway::parallel_for;

TEST_CASE("Every piece of work is done once on any number of threads") {
    for (const unsigned threads : {0u, 1u, 2u, 5u}) {
        for (const std::size_t count : {0u, 1u, 3u, 1000u}) {
            INFO(threads << " threads, " << count << " pieces");
            std::vector<int> done(count, 0);
            parallel_for(count, threads, [&](std::size_t i) { ++done[i]; });
            CHECK(done == std::vector<int>(count, 1));
        }
    }
}

TEST_CASE("An exception of one piece reaches the caller") {
    for (const unsigned threads : {1u, 3u}) {
        const auto work = [](std::size_t i) {
            if (i == 7) throw std::runtime_error("piece 7");
        };
        CHECK_THROWS_WITH(parallel_for(100, threads, work), "piece 7");
    }
}

TEST_CASE("After a failure no further pieces are begun on one thread") {
    std::atomic<int> begun{0};
    const auto work = [&](std::size_t i) {
        ++begun;
        if (i == 2) throw std::runtime_error("stop");
    };
    CHECK_THROWS(parallel_for(1000, 1, work));
    CHECK(begun == 3);
}
