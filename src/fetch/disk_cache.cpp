#include "mildway/fetch/disk_cache.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/files.hpp"

#include <algorithm>
#include <string_view>
#include <vector>

#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <sys/stat.h>
#include <unistd.h>
#include <zlib.h>

namespace mildway::fetch {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

namespace {

constexpr int kVersion = 1;
constexpr std::size_t kLargestFile = 64u << 20;  // of one entry; more than any transport lets through
constexpr std::string_view kUnfinished = ".part";
constexpr std::size_t kNameLength = 16;

/// FNV-1a, 64 bits (Fowler, Noll, Vo; draft-eastlake-fnv): a file name of any key.
std::string name_of(std::string_view key) {
    std::uint64_t hash = 0xcbf29ce484222325;
    for (const char letter : key) hash = (hash ^ static_cast<unsigned char>(letter)) * 0x100000001b3;
    return fmt::format("{:016x}", hash);
}

bool is_entry_name(std::string_view name) {
    return name.size() == kNameLength && name.find_first_not_of("0123456789abcdef") == std::string_view::npos;
}

/// ".0123456789abcdef.PID.NUMBER.part", see write_file.
bool is_unfinished_name(std::string_view name) {
    return name.starts_with('.') && name.ends_with(kUnfinished) && is_entry_name(name.substr(1, kNameLength));
}

/// Empty when there is no such file, or none that could be an entry.
std::string read_whole(const fs::path& path) {
    try {
        return read_file(path, kLargestFile);
    } catch (const InputError&) {
        return {};  // a cache may forget
    }
}

/// Over the header without its checksum, and the body.
std::string checksum(std::string_view header, std::string_view body) {
    const auto add = [](uLong sum, std::string_view bytes) {
        return crc32_z(sum, static_cast<const Bytef*>(static_cast<const void*>(bytes.data())), bytes.size());
    };
    return fmt::format("{:08x}", add(add(crc32_z(0, nullptr, 0), header), body));
}

std::string dump(const Json& header) {
    return header.dump(-1, ' ', true, Json::error_handler_t::replace);  // bad UTF-8 is no reason to throw
}

Instant instant_of(const Json& value) {
    return parse_instant(value.get_ref<const std::string&>()).value();
}

}  // namespace

DiskCache::DiskCache(fs::path folder) : folder_(std::move(folder)) {}

std::optional<Entry> DiskCache::find(const std::string& key) const {
    std::string bytes = read_whole(folder_ / name_of(key));
    const std::size_t line_end = bytes.find('\n');
    if (line_end == std::string::npos) return std::nullopt;
    try {
        Json header = Json::parse(bytes.begin(), bytes.begin() + static_cast<std::ptrdiff_t>(line_end));
        const std::string_view body = std::string_view(bytes).substr(line_end + 1);
        const auto sum = header.at("crc32").get<std::string>();
        header.erase("crc32");
        if (checksum(dump(header), body) != sum || header.at("version") != kVersion ||
            header.at("key") != key || header.at("bytes") != body.size())
            return std::nullopt;
        return Entry{std::string(body), instant_of(header.at("fetched")),
                     instant_of(header.at("fresh_until")), header.at("etag"), header.at("last_modified")};
    } catch (const std::exception&) {  // whatever is wrong with it: it is no entry
        return std::nullopt;
    }
}

void DiskCache::keep(const std::string& key, const Entry& entry) const {
    Json header = {{"version", kVersion},
                   {"key", key},
                   {"fetched", format_instant(entry.fetched)},
                   {"fresh_until", format_instant(entry.fresh_until)},
                   {"etag", entry.etag},
                   {"last_modified", entry.last_modified},
                   {"bytes", entry.body.size()}};
    header["crc32"] = checksum(dump(header), entry.body);
    std::error_code error;
    fs::create_directories(folder_, error);
    if (error) throw SystemError(fmt::format("{}: cannot be made: {}", folder_.string(), error.message()));
    // Not flushed: what a power cut tears, the checksum shows, and an answer that is lost costs one request.
    write_file(folder_ / name_of(key), dump(header) + "\n" + entry.body,
               {.flush = false, .for_owner_alone = true});
}

void DiskCache::prune(Instant now, const Limits& limits) const {
    constexpr hours kUnfinishedFor{1};  // no write takes so long
    struct Kept {
        fs::path path;
        Instant written;
        std::uintmax_t bytes;
    };
    std::vector<Kept> kept;
    std::uintmax_t total = 0;
    std::error_code error;
    for (fs::directory_iterator it(folder_, error), end; !error && it != end; it.increment(error)) {
        const std::string name = it->path().filename().string();
        const bool unfinished = is_unfinished_name(name);
        struct stat about {};
        if (!(unfinished || is_entry_name(name)) || ::lstat(it->path().c_str(), &about) != 0 ||
            !S_ISREG(about.st_mode))
            continue;  // not ours
        const Instant written{seconds(about.st_mtime)};
        if (now - written > (unfinished ? kUnfinishedFor : limits.oldest)) {
            ::unlink(it->path().c_str());
        } else if (!unfinished) {
            kept.push_back({it->path(), written, static_cast<std::uintmax_t>(about.st_size)});
            total += kept.back().bytes;
        }
    }
    std::sort(kept.begin(), kept.end(), [](const Kept& a, const Kept& b) { return a.written < b.written; });
    for (const Kept& file : kept) {
        if (total <= limits.bytes) break;
        ::unlink(file.path.c_str());
        total -= file.bytes;
    }
}

}  // namespace mildway::fetch
