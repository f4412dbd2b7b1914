// Files: read whole with a cap, written whole or not at all.
#pragma once

#include <cstddef>
#include <filesystem>
#include <string>
#include <string_view>

namespace mildway {

/// The bytes of a file. Throws InputError when it cannot be read or is larger than `cap` bytes.
[[nodiscard]] std::string read_file(const std::filesystem::path& path, std::size_t cap);

/// key: letters, digits and "-_.~", so that it can stand in a URL. password: any characters that can be
/// typed.
enum class SecretKind { key, password };

/// A password or key: the first line of a file that nobody but its owner may read (mode 0600 or less). Throws
/// InputError, which never holds what is in the file.
[[nodiscard]] std::string read_secret(const std::filesystem::path& path, SecretKind kind = SecretKind::key);

struct WriteOptions {
    bool flush = true;  ///< to the disk, so that a power cut keeps the file whole; a crash does in any case
    bool for_owner_alone = false;  ///< mode 0600
};

/// Replaces or creates a file so that a reader, another process or a crash sees the old bytes or the new
/// ones, never a mix: a temporary file ".NAME.PID.NUMBER.part" beside it, fsync, rename, fsync of the folder.
/// Throws SystemError.
void write_file(const std::filesystem::path& path, std::string_view bytes, const WriteOptions& options = {});

}  // namespace mildway
