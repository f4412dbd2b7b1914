// Moments at which to kill a program, spread over the time that it takes.
#pragma once

#include <chrono>
#include <random>

namespace mildway::testing {

/// The time that a program takes changes with what else the machine does, so it is followed: a little longer
/// after each kill that came before the program's end, shorter after one that came too late. About one kill
/// in nine comes too late then, whatever the machine does.
class KillMoments {
public:
    using Duration = std::chrono::duration<double>;

    /// `took`: the time it took once, or a guess.
    KillMoments(unsigned seed, Duration took) : random_(seed), took_(took) {}

    void measured(Duration took) { took_ = took; }

    /// How long to let it run this time.
    [[nodiscard]] Duration next() {
        return took_ * std::uniform_real_distribution<double>(0.0, 1.0)(random_);
    }

    void struck(bool before_its_end) { took_ *= before_its_end ? 1.03 : 0.8; }

private:
    std::mt19937 random_;
    Duration took_;
};

}  // namespace mildway::testing
