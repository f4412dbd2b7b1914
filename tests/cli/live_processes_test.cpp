// The program as processes on one cache: side by side, and killed at random moments.
#include "catch.hpp"
#include "kill_moments.hpp"
#include "live_services.hpp"

#include <array>
#include <chrono>
#include <csignal>
#include <thread>

#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

using namespace mildway;
using testing::LiveServices;

namespace {

/// A plan of one day by the program itself, in a cache folder of the test's.
class Process {
public:
    Process(LiveServices& services, const std::filesystem::path& out) {
        const std::vector<std::string> words{MILDWAY_PROGRAM,
                                             "--workspace",
                                             services.workspace().name(),
                                             "--now",
                                             testing::kMonday,
                                             "plan",
                                             "--to",
                                             "Duluth MN",
                                             "--species",
                                             "corn snake",
                                             "--days",
                                             "1",
                                             "--scenarios",
                                             "16",
                                             "--threads",
                                             "1",
                                             "--json"};
        const std::string cache = "XDG_CACHE_HOME=" + services.cache().string();
        std::vector<char*> arguments;
        for (const std::string& word : words) arguments.push_back(const_cast<char*>(word.c_str()));
        arguments.push_back(nullptr);
        std::array<char*, 2> environment{const_cast<char*>(cache.c_str()), nullptr};
        pid_ = fork();
        if (pid_ != 0) return;
        const int file = open(out.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
        const int nothing = open("/dev/null", O_WRONLY);
        if (file < 0 || nothing < 0 || dup2(file, STDOUT_FILENO) < 0 || dup2(nothing, STDERR_FILENO) < 0)
            _exit(99);
        execve(MILDWAY_PROGRAM, arguments.data(), environment.data());
        _exit(99);
    }

    void kill() const { ::kill(pid_, SIGKILL); }

    /// The exit code, or -1 when a signal ended it.
    [[nodiscard]] int wait() const {
        int status = 0;
        REQUIRE(waitpid(pid_, &status, 0) == pid_);
        return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    }

private:
    pid_t pid_;
};

bool is_done(int code) {
    return code == cli::kDone || code == cli::kNeedsPerson;
}

bool is_whole_plan(const std::filesystem::path& out) {
    const auto json = nlohmann::json::parse(testing::slurp(out), nullptr, false);
    return json.is_object() && json["weather"].size() == 4 && !json["options"].empty() &&
           json["options"][0]["verdict"] != "unknown";
}

void forget(const LiveServices& services) {
    std::filesystem::remove_all(services.cache() / "mildway");
}

}  // namespace

TEST_CASE("two plans at once on one cache are both whole a hundred times") {
    LiveServices services;
    const auto first = services.workspace().path() / "first.json";
    const auto second = services.workspace().path() / "second.json";
    int whole = 0;
    for (int round = 0; round < 100; ++round) {
        if (round % 2 == 0) forget(services);  // by turns both fetch, and both read what is kept
        const Process a(services, first);
        const Process b(services, second);
        const bool both_done = is_done(a.wait()) && is_done(b.wait());
        whole += int{both_done && is_whole_plan(first) && is_whole_plan(second)};
    }
    CHECK(whole == 100);
}

TEST_CASE("after a plan is killed at any moment the next one is whole two hundred times") {
    LiveServices services;
    const auto out = services.workspace().path() / "out.json";
    constexpr int kLeast = 200;
    constexpr int kMost = 600;
    testing::KillMoments moments(1, std::chrono::milliseconds(40));
    int killed = 0;
    int whole = 0;
    int round = 0;
    for (; round < kLeast || (killed <= 50 && round < kMost); ++round) {
        if (round % 2 == 0) forget(services);
        const Process victim(services, out);
        std::this_thread::sleep_for(moments.next());
        victim.kill();
        const bool in_time = victim.wait() == -1;
        moments.struck(in_time);
        killed += int{in_time};
        const Process next(services, out);
        whole += int{is_done(next.wait()) && is_whole_plan(out)};
    }
    CHECK(killed > 50);  // else the moments were not in the middle
    CHECK(whole == round);
}
