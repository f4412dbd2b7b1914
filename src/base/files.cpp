#include "mildway/base/files.hpp"

#include "mildway/base/errors.hpp"

#include <cerrno>
#include <cstring>
#include <fstream>

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

namespace mildway {

namespace {

[[noreturn]] void fail(const std::filesystem::path& path, std::string_view doing) {
    throw SystemError(fmt::format("{}: {}: {}", path.string(), doing, std::strerror(errno)));
}

/// A file descriptor that closes itself.
class Descriptor {
public:
    Descriptor(const std::filesystem::path& path, int flags)
        : fd_(::open(path.c_str(), flags | O_CLOEXEC, 0666)) {
        if (fd_ < 0) fail(path, "cannot open for writing");
    }
    ~Descriptor() { ::close(fd_); }
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    Descriptor(Descriptor&&) = delete;
    Descriptor& operator=(Descriptor&&) = delete;

    [[nodiscard]] int get() const { return fd_; }

private:
    int fd_;
};

void write_all(const std::filesystem::path& path, std::string_view bytes) {
    const Descriptor file(path, O_WRONLY | O_CREAT | O_TRUNC);
    while (!bytes.empty()) {
        const ssize_t written = ::write(file.get(), bytes.data(), bytes.size());
        if (written < 0 && errno == EINTR) continue;
        if (written < 0) fail(path, "cannot write");
        bytes.remove_prefix(static_cast<std::size_t>(written));
    }
    if (::fsync(file.get()) != 0) fail(path, "cannot flush to disk");
}

}  // namespace

std::string read_file(const std::filesystem::path& path, std::size_t cap) {
    std::error_code error;
    if (!std::filesystem::exists(path, error))
        throw InputError(path.string(), "", 0, "there is no such file");
    if (!std::filesystem::is_regular_file(path, error))
        throw InputError(path.string(), "", 0, "is not a file");
    std::ifstream in(path, std::ios::binary);
    if (!in) throw InputError(path.string(), "", 0, fmt::format("cannot be read: {}", std::strerror(errno)));
    std::string bytes;
    char chunk[1 << 16];
    while (in.read(chunk, sizeof chunk), in.gcount() > 0) {
        bytes.append(chunk, static_cast<std::size_t>(in.gcount()));
        if (bytes.size() > cap) {
            throw InputError(path.string(), "", 0,
                             fmt::format("is larger than the {} bytes expected at most", cap));
        }
    }
    if (in.bad()) throw InputError(path.string(), "", 0, "cannot be read to its end");
    return bytes;
}

std::string read_secret(const std::filesystem::path& path) {
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
        throw InputError(path.string(), "", 0, "is empty; expected the key in its first line");
    if (secret.find_first_not_of("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.~") !=
        std::string::npos) {
        throw InputError(path.string(), "", 0,
                         "holds a character that no key has; expected letters and digits");
    }
    return secret;
}

void write_file(const std::filesystem::path& path, std::string_view bytes) {
    const std::filesystem::path folder = path.has_parent_path() ? path.parent_path() : ".";
    const std::filesystem::path temporary =
        folder / fmt::format(".{}.{}.part", path.filename().string(), ::getpid());
    try {
        write_all(temporary, bytes);
        if (::rename(temporary.c_str(), path.c_str()) != 0) fail(path, "cannot be replaced");
    } catch (...) {
        ::unlink(temporary.c_str());
        throw;
    }
    const Descriptor parent(folder, O_RDONLY | O_DIRECTORY);
    if (::fsync(parent.get()) != 0) fail(folder, "cannot flush to disk");
}

}  // namespace mildway
