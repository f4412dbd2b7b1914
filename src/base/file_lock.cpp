#include "mildway/base/file_lock.hpp"

#include "mildway/base/errors.hpp"

#include <cerrno>
#include <cstring>
#include <fstream>
#include <string>

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <unistd.h>

namespace mildway {

namespace {

[[noreturn]] void fail(const std::filesystem::path& file, int fd, const char* doing) {
    const int why = errno;
    if (fd >= 0) ::close(fd);
    throw SystemError(fmt::format("{}: {}: {}", file.string(), doing, std::strerror(why)));
}

int flock_again(int fd) {
    int outcome = 0;
    do outcome = ::flock(fd, LOCK_EX | LOCK_NB);
    while (outcome != 0 && errno == EINTR);
    return outcome;
}

}  // namespace

std::optional<FileLock> FileLock::try_lock(const std::filesystem::path& file) {
    const int fd = ::open(file.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600);
    if (fd < 0) fail(file, fd, "cannot be opened as a lock");
    if (flock_again(fd) != 0) {
        if (errno != EWOULDBLOCK) fail(file, fd, "cannot be locked");
        ::close(fd);
        return std::nullopt;
    }
    // For people only: a full disk does not stop the lock from holding.
    const std::string holder = fmt::format("{}\n", ::getpid());
    if (::ftruncate(fd, 0) == 0) (void)!::write(fd, holder.data(), holder.size());
    return FileLock(fd);
}

FileLock::~FileLock() {
    if (fd_ >= 0) ::close(fd_);
}

std::optional<long> lock_holder(const std::filesystem::path& file) {
    std::ifstream in(file);
    long pid = 0;
    if (!(in >> pid)) return std::nullopt;
    return pid;
}

}  // namespace mildway
