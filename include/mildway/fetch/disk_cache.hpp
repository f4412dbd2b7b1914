// Answers kept on disk, one file each.
#pragma once

#include "mildway/base/time.hpp"

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>

namespace mildway::fetch {

/// A kept answer and what is needed to ask whether it still holds.
struct Entry {
    std::string body;
    Instant fetched;      ///< when the service last sent or confirmed it
    Instant fresh_until;  ///< need not be asked for again before
    std::string etag;
    std::string last_modified;
};

/// A folder of entries by key. Every write replaces a whole file at once, so that a reader, another process
/// or a crash sees the old entry or the new one. An entry that is torn, of another version or of another key
/// (by a clash of names) reads as absent: a cache may forget, never make up. May be used by several threads
/// and processes at once.
class DiskCache {
public:
    /// The folder is made at the first write.
    explicit DiskCache(std::filesystem::path folder);

    [[nodiscard]] std::optional<Entry> find(const std::string& key) const;
    /// Throws SystemError naming the file when it cannot be written.
    void keep(const std::string& key, const Entry& entry) const;

    struct Limits {
        hours oldest{24 *
                     200};  ///< since it was last written; normals of the climate are kept for half a year
        std::uintmax_t bytes = 200u << 20;  ///< of the folder; the oldest go first
    };
    /// Deletes what is beyond the limits, and left-overs of writers that died. Throws nothing.
    void prune(Instant now, const Limits& limits) const;

    [[nodiscard]] const std::filesystem::path& folder() const { return folder_; }

private:
    std::filesystem::path folder_;
};

}  // namespace mildway::fetch
