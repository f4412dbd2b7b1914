// One run at a time: a lock on a file that goes with the process that holds it.
#pragma once

#include <filesystem>
#include <optional>
#include <utility>

namespace mildway {

/// flock(2) on a file that is left in place, with the holder's process number in it for people. The kernel
/// frees it when the process ends, also by kill -9; a child that is started by exec does not inherit it.
class FileLock {
public:
    /// Empty when another process holds it. Throws SystemError when the file cannot be opened or locked.
    [[nodiscard]] static std::optional<FileLock> try_lock(const std::filesystem::path& file);

    ~FileLock();
    FileLock(FileLock&& other) noexcept : fd_(std::exchange(other.fd_, -1)) {}
    FileLock& operator=(FileLock&&) = delete;
    FileLock(const FileLock&) = delete;
    FileLock& operator=(const FileLock&) = delete;

private:
    explicit FileLock(int fd) : fd_(fd) {}
    int fd_;
};

/// Process number of whoever holds the lock, or held it last; empty when the file does not say.
[[nodiscard]] std::optional<long> lock_holder(const std::filesystem::path& file);

}  // namespace mildway
