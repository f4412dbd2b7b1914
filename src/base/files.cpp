#include "mildway/base/files.hpp"

#include "mildway/base/errors.hpp"

#include <algorithm>
#include <atomic>
#include <cerrno>
#include <cstdint>
#include <cstring>
#include <utility>

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

namespace mildway {

namespace {

constexpr std::size_t kChunk = 4096;

[[noreturn]] void fail(const std::filesystem::path& path, std::string_view doing) {
    throw SystemError(fmt::format("{}: {}: {}", path.string(), doing, std::strerror(errno)));
}

/// A file descriptor that closes itself.
class Descriptor {
public:
    explicit Descriptor(int fd) : fd_(fd) {}
    ~Descriptor() {
        if (fd_ >= 0) ::close(fd_);
    }
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    Descriptor(Descriptor&&) = delete;
    Descriptor& operator=(Descriptor&&) = delete;

    [[nodiscard]] int get() const { return fd_; }

private:
    int fd_;
};

void write_all(int fd, const std::filesystem::path& path, std::string_view bytes, bool flush) {
    while (!bytes.empty()) {
        const ssize_t written = ::write(fd, bytes.data(), bytes.size());
        if (written < 0 && errno == EINTR) continue;
        if (written < 0) fail(path, "cannot write");
        bytes.remove_prefix(static_cast<std::size_t>(written));
    }
    if (flush && ::fsync(fd) != 0) fail(path, "cannot flush to disk");
}

/// Beside `path`, with a name that no other thread or process uses. A process of the same number may have
/// died here, or live in another container: hence O_EXCL.
std::pair<int, std::filesystem::path> open_part(const std::filesystem::path& path, mode_t mode) {
    static std::atomic<unsigned> counter{0};
    for (;;) {
        const std::filesystem::path part =
            path.parent_path() /
            fmt::format(".{}.{}.{}.part", path.filename().string(), ::getpid(), counter++);
        const int fd = ::open(part.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, mode);
        if (fd < 0 && errno == EEXIST) continue;
        if (fd < 0) fail(part, "cannot open for writing");
        return {fd, part};
    }
}

}  // namespace

std::string read_file(const std::filesystem::path& path, std::size_t cap) {
    std::error_code error;
    if (!std::filesystem::exists(path, error))
        throw InputError(path.string(), "", 0, "there is no such file");
    if (!std::filesystem::is_regular_file(path, error))
        throw InputError(path.string(), "", 0, "is not a file");
    const Descriptor file(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
    if (file.get() < 0)
        throw InputError(path.string(), "", 0, fmt::format("cannot be read: {}", std::strerror(errno)));
    const auto size = std::filesystem::file_size(path, error);
    std::string bytes((error ? 0 : std::min<std::uintmax_t>(size, cap)) + 1, '\0');  // one more shows the end
    std::size_t done = 0;
    for (;;) {  // past the size as well: the file may grow meanwhile
        if (done == bytes.size()) bytes.resize(done + kChunk);
        const ssize_t count = ::read(file.get(), bytes.data() + done, bytes.size() - done);
        if (count < 0 && errno == EINTR) continue;
        if (count < 0) throw InputError(path.string(), "", 0, "cannot be read to its end");
        done += static_cast<std::size_t>(count);
        if (done > cap) {
            throw InputError(path.string(), "", 0,
                             fmt::format("is larger than the {} bytes expected at most", cap));
        }
        if (count == 0) break;
    }
    bytes.resize(done);
    return bytes;
}

std::string read_secret(const std::filesystem::path& path, SecretKind kind) {
    constexpr std::size_t kLongest = 4096;
    std::error_code error;
    const auto mode = std::filesystem::status(path, error).permissions();
    using std::filesystem::perms;
    if (!error && (mode & (perms::group_all | perms::others_all)) != perms::none) {
        throw InputError(path.string(), "", 0,
                         "can be read by others; expected a file for its owner alone (chmod 600)");
    }
    const std::string text = read_file(path, kLongest);
    std::string secret = text.substr(0, text.find_first_of("\r\n"));
    if (secret.empty())
        throw InputError(path.string(), "", 0, "is empty; expected the secret in its first line");
    if (kind == SecretKind::password) {
        const auto typed = [](char c) { return static_cast<unsigned char>(c) >= 0x20 && c != 0x7f; };
        if (!std::all_of(secret.begin(), secret.end(), typed))
            throw InputError(path.string(), "", 0, "holds a control character; expected one line of text");
        return secret;
    }
    if (secret.find_first_not_of("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.~") !=
        std::string::npos) {
        throw InputError(path.string(), "", 0,
                         "holds a character that no key has; expected letters and digits");
    }
    return secret;
}

void write_file(const std::filesystem::path& path, std::string_view bytes, const WriteOptions& options) {
    const auto [fd, part] = open_part(path, options.for_owner_alone ? 0600 : 0666);
    const Descriptor file(fd);
    try {
        write_all(fd, part, bytes, options.flush);
        if (::rename(part.c_str(), path.c_str()) != 0) fail(path, "cannot be replaced");
    } catch (...) {
        ::unlink(part.c_str());
        throw;
    }
    if (!options.flush) return;
    const std::filesystem::path folder = path.has_parent_path() ? path.parent_path() : ".";
    const Descriptor parent(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (parent.get() < 0 || ::fsync(parent.get()) != 0) fail(folder, "cannot flush to disk");
}

}  // namespace mildway
