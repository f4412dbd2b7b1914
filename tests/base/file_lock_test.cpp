// The lock of runs that must not overlap, between real processes.
#include "mildway/base/file_lock.hpp"

#include "mildway/base/errors.hpp"

#include "catch.hpp"
#include "temp_workspace.hpp"

#include <csignal>

#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

using namespace mildway;

namespace {

/// A process that takes the lock, says so through a pipe, and sits there.
class Holder {
public:
    explicit Holder(const std::filesystem::path& file) {
        std::array<int, 2> pipe_ends{};
        if (pipe(pipe_ends.data()) != 0) throw std::runtime_error("no pipe");
        pid_ = fork();
        if (pid_ == 0) {
            const auto lock = FileLock::try_lock(file);
            const char said = lock ? 'y' : 'n';
            if (write(pipe_ends[1], &said, 1) != 1) _exit(1);
            for (;;) pause();
        }
        close(pipe_ends[1]);
        if (read(pipe_ends[0], &said_, 1) != 1) said_ = '?';
        close(pipe_ends[0]);
    }
    ~Holder() {
        if (pid_ > 0) kill_it();
    }
    Holder(const Holder&) = delete;
    Holder& operator=(const Holder&) = delete;

    void kill_it() {
        kill(pid_, SIGKILL);
        waitpid(pid_, nullptr, 0);
        pid_ = -1;
    }
    [[nodiscard]] bool holds() const { return said_ == 'y'; }
    [[nodiscard]] pid_t pid() const { return pid_; }

private:
    pid_t pid_ = -1;
    char said_ = '?';
};

}  // namespace

TEST_CASE("a file is locked by one process at a time") {
    testing::TempFolder folder;
    const auto file = folder.path() / "run.lock";
    const Holder holder(file);
    REQUIRE(holder.holds());
    CHECK_FALSE(FileLock::try_lock(file).has_value());
    CHECK(lock_holder(file) == holder.pid());
}

TEST_CASE("a lock is free again after its holder was killed") {
    testing::TempFolder folder;
    const auto file = folder.path() / "run.lock";
    Holder holder(file);
    REQUIRE(holder.holds());
    holder.kill_it();
    CHECK(FileLock::try_lock(file).has_value());
    CHECK(lock_holder(file) == getpid());
}

TEST_CASE("a lock is free again when it goes out of scope") {
    testing::TempFolder folder;
    const auto file = folder.path() / "run.lock";
    { const auto lock = FileLock::try_lock(file); }
    const Holder other(file);
    CHECK(other.holds());
}

TEST_CASE("a lock is kept through a move") {
    testing::TempFolder folder;
    const auto file = folder.path() / "run.lock";
    auto first = FileLock::try_lock(file);
    REQUIRE(first.has_value());
    const FileLock second = std::move(*first);
    first.reset();
    CHECK_FALSE(FileLock::try_lock(file).has_value());
}

TEST_CASE("a program started by the holder does not keep the lock") {
    testing::TempFolder folder;
    const auto file = folder.path() / "run.lock";
    pid_t child = -1;
    {
        const auto lock = FileLock::try_lock(file);
        child = fork();
        if (child == 0) {
            execl("/bin/sleep", "sleep", "60", nullptr);
            _exit(127);
        }
        // wait until it is /bin/sleep: then what is closed on exec is closed
        std::string name;
        while (name != "sleep") {
            REQUIRE(waitpid(child, nullptr, WNOHANG) == 0);  // it has not ended
            std::ifstream("/proc/" + std::to_string(child) + "/comm") >> name;
        }
    }
    CHECK(FileLock::try_lock(file).has_value());
    kill(child, SIGKILL);
    waitpid(child, nullptr, 0);
}

TEST_CASE("a lock where no file can be is a failure of the system") {
    testing::TempFolder folder;
    CHECK_THROWS_AS(FileLock::try_lock(folder.path() / "no" / "folder" / "run.lock"), SystemError);
    CHECK_FALSE(lock_holder(folder.path() / "none").has_value());
}
