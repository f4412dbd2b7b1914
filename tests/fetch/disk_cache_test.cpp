#include "mildway/fetch/disk_cache.hpp"

#include "mildway/base/errors.hpp"

#include "catch.hpp"
#include "temp_workspace.hpp"

#include <atomic>
#include <thread>
#include <vector>

#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <zlib.h>

using namespace mildway;
using namespace mildway::testing;
using fetch::DiskCache;
using fetch::Entry;
namespace fs = std::filesystem;

namespace {

const std::string kKey = "application/json https://api.example.org/points/46.7867,-92.1005";

Instant at(const char* text) {
    return parse_instant(text).value();
}

Entry some_entry(std::string body = "{\"values\": [1, 2]}\n\nmore") {
    return {std::move(body), at("2027-01-01T08:00:00Z"), at("2027-01-01T09:00:00Z"), "W/\"a\"",
            "Fri, 01 Jan 2027 07:00:00 GMT"};
}

bool same(const Entry& a, const Entry& b) {
    return a.body == b.body && a.fetched == b.fetched && a.fresh_until == b.fresh_until && a.etag == b.etag &&
           a.last_modified == b.last_modified;
}

std::vector<fs::path> files_of(const DiskCache& cache) {
    return {fs::directory_iterator(cache.folder()), fs::directory_iterator()};
}

/// An empty folder, and a cache in one below it that is not yet there.
struct Kept {
    TempFolder folder;
    DiskCache cache{folder.path() / "deep" / "cache"};

    void age(const std::string& key, hours by) const {
        const fs::path file = file_of(key);
        fs::last_write_time(file, fs::last_write_time(file) - by);
    }
    [[nodiscard]] fs::path file_of(const std::string& key) const {
        for (const fs::path& file : files_of(cache)) {
            if (slurp(file).find("\"" + key + "\"") != std::string::npos) return file;
        }
        throw std::runtime_error("no file for " + key);
    }
};

/// The computer's clock, by which files are dated.
Instant file_time() {
    return std::chrono::floor<seconds>(std::chrono::system_clock::now());
}

}  // namespace

TEST_CASE("an entry is found as it was kept") {
    const Kept kept;
    kept.cache.keep(kKey, some_entry());
    const auto found = kept.cache.find(kKey);
    REQUIRE(found);
    CHECK(same(*found, some_entry()));
}

TEST_CASE("an empty cache holds nothing and makes no folder") {
    const Kept kept;
    CHECK_FALSE(kept.cache.find(kKey));
    CHECK_FALSE(fs::exists(kept.cache.folder()));
}

TEST_CASE("keeping replaces the older entry in the same file") {
    const Kept kept;
    kept.cache.keep(kKey, some_entry("old"));
    kept.cache.keep(kKey, some_entry("new"));
    CHECK(kept.cache.find(kKey)->body == "new");
    CHECK(files_of(kept.cache).size() == 1);
}

TEST_CASE("bodies and keys may hold any byte") {
    const Kept kept;
    std::string all;
    for (int byte = 0; byte < 256; ++byte) all += static_cast<char>(byte);
    for (const std::string& key : {std::string(), std::string("a\nb\"c\\d"), std::string("caf\xc3\xa9")}) {
        kept.cache.keep(key, some_entry(all));
        const auto found = kept.cache.find(key);
        REQUIRE(found);
        CHECK(found->body == all);
    }
}

TEST_CASE("a file name is the FNV-1a hash of the key") {
    // "foobar" -> 85944171f73967e8: the test vectors of draft-eastlake-fnv, appendix C.
    const Kept kept;
    kept.cache.keep("foobar", some_entry());
    CHECK(files_of(kept.cache).at(0).filename() == "85944171f73967e8");
}

TEST_CASE("a file cut at any byte is no entry") {
    const Kept kept;
    kept.cache.keep(kKey, some_entry());
    const fs::path file = kept.file_of(kKey);
    const std::string whole = slurp(file);
    for (std::size_t length = 0; length < whole.size(); ++length) {
        spill(file, whole.substr(0, length));
        if (kept.cache.find(kKey)) FAIL("found though cut at byte " << length);
    }
    spill(file, whole + "x");
    CHECK_FALSE(kept.cache.find(kKey));
    spill(file, whole);
    CHECK(kept.cache.find(kKey));
}

TEST_CASE("a file with one bit turned anywhere is no entry or still the same") {
    const Kept kept;
    kept.cache.keep(kKey, some_entry());
    const fs::path file = kept.file_of(kKey);
    const std::string whole = slurp(file);
    std::size_t absent = 0;
    for (std::size_t byte = 0; byte < whole.size(); ++byte) {
        std::string damaged = whole;
        damaged[byte] = static_cast<char>(damaged[byte] ^ (1 << (byte % 8)));
        spill(file, damaged);
        const auto found = kept.cache.find(kKey);
        if (!found) ++absent;
        if (found && !same(*found, some_entry())) FAIL("another entry after damage to byte " << byte);
    }
    CHECK(absent == whole.size());
}

TEST_CASE("a block of zeros as a power cut leaves it is no entry") {
    const Kept kept;
    kept.cache.keep(kKey, some_entry(std::string(10'000, 'x')));
    const fs::path file = kept.file_of(kKey);
    std::string torn = slurp(file);
    torn.replace(4096, 4096, 4096, '\0');
    spill(file, torn);
    CHECK_FALSE(kept.cache.find(kKey));
}

TEST_CASE("an entry of another key in the same file is no entry") {
    // Keys whose hashes are equal are hard to come by; a file put under the other's name is the same.
    const Kept kept;
    kept.cache.keep("one", some_entry("of one"));
    const fs::path one = kept.file_of("one");
    kept.cache.keep("two", some_entry("of two"));
    fs::copy_file(one, kept.file_of("two"), fs::copy_options::overwrite_existing);
    CHECK_FALSE(kept.cache.find("two"));
    CHECK(kept.cache.find("one")->body == "of one");
}

TEST_CASE("an entry of another version is no entry though its checksum is right") {
    const Kept kept;
    kept.cache.keep(kKey, some_entry());
    const fs::path file = kept.file_of(kKey);
    const std::string text = slurp(file);
    const auto line_end = text.find('\n');
    const std::string body = text.substr(line_end + 1);
    const auto write_as = [&](int version) {
        auto header = nlohmann::ordered_json::parse(text.substr(0, line_end));
        header["version"] = version;
        header.erase("crc32");
        const std::string summed = header.dump() + body;
        header["crc32"] =
            fmt::format("{:08x}", crc32_z(0, reinterpret_cast<const Bytef*>(summed.data()), summed.size()));
        spill(file, header.dump() + "\n" + body);
    };
    write_as(1);
    CHECK(kept.cache.find(kKey));
    write_as(2);
    CHECK_FALSE(kept.cache.find(kKey));
}

TEST_CASE("what is no file is no entry") {
    const Kept kept;
    kept.cache.keep(kKey, some_entry());
    const fs::path file = kept.file_of(kKey);
    fs::remove(file);
    fs::create_directory(file);
    CHECK_FALSE(kept.cache.find(kKey));
}

TEST_CASE("a cache that cannot be written names the file") {
    const TempFolder folder;
    spill(folder.path() / "in the way", "");
    const DiskCache cache(folder.path() / "in the way");
    CHECK_THROWS_AS(cache.keep(kKey, some_entry()), SystemError);
    CHECK_THROWS_WITH(cache.keep(kKey, some_entry()), Catch::Matchers::Contains("in the way"));
}

TEST_CASE("a write that fails leaves nothing behind") {
    const Kept kept;
    kept.cache.keep(kKey, some_entry());
    const fs::path file = kept.file_of(kKey);
    fs::remove(file);
    fs::create_directories(file / "in the way of rename");
    CHECK_THROWS_AS(kept.cache.keep(kKey, some_entry()), SystemError);
    CHECK(files_of(kept.cache) == std::vector<fs::path>{file});
}

TEST_CASE("entries are for the eyes of their owner") {
    // Coordinates tell where customers live.
    const Kept kept;
    kept.cache.keep(kKey, some_entry());
    CHECK(fs::status(kept.file_of(kKey)).permissions() == (fs::perms::owner_read | fs::perms::owner_write));
}

TEST_CASE("pruning forgets what is older than allowed") {
    const Kept kept;
    kept.cache.keep("old", some_entry());
    kept.cache.keep("young", some_entry());
    kept.age("old", hours(11));
    kept.age("young", hours(9));
    kept.cache.prune(file_time(), {hours(10), 1u << 20});
    CHECK_FALSE(kept.cache.find("old"));
    CHECK(kept.cache.find("young"));
}

TEST_CASE("pruning forgets the oldest until the rest fits") {
    const Kept kept;
    for (const char* key : {"a", "b", "c"}) kept.cache.keep(key, some_entry(std::string(1000, 'x')));
    kept.age("b", hours(3));
    kept.age("c", hours(2));
    const auto size = fs::file_size(kept.file_of("a"));
    kept.cache.prune(file_time(), {hours(24), 2 * size});
    CHECK(kept.cache.find("a"));
    CHECK_FALSE(kept.cache.find("b"));
    CHECK(kept.cache.find("c"));
}

TEST_CASE("pruning clears what writers that died left behind and spares the rest") {
    const Kept kept;
    kept.cache.keep(kKey, some_entry());
    const auto& folder = kept.cache.folder();
    const fs::path dead = folder / ".0123456789abcdef.4711.0.part";
    const fs::path alive = folder / ".0123456789abcdef.4712.0.part";
    const fs::path foreign = folder / "letter to a friend.txt";
    for (const fs::path& file : {dead, alive, foreign}) spill(file, "half");
    for (const fs::path& file : {dead, foreign})
        fs::last_write_time(file, fs::last_write_time(file) - hours(10'000));
    kept.cache.prune(file_time(), {});
    CHECK_FALSE(fs::exists(dead));
    CHECK(fs::exists(alive));
    CHECK(fs::exists(foreign));
    CHECK(kept.cache.find(kKey));
}

TEST_CASE("pruning a folder that is not there does nothing") {
    const Kept kept;
    kept.cache.prune(file_time(), {});
    CHECK_FALSE(fs::exists(kept.cache.folder()));
}

TEST_CASE("threads may keep and find the same entry") {
    const Kept kept;
    const auto body_of = [](int letter) { return std::string(20'000, static_cast<char>('a' + letter)); };
    kept.cache.keep(kKey, some_entry(body_of(0)));
    std::atomic<int> torn{0};
    {
        std::vector<std::jthread> threads;
        for (int letter = 0; letter < 4; ++letter) {
            threads.emplace_back([&, letter] {
                for (int i = 0; i < 100; ++i) {
                    kept.cache.keep(kKey, some_entry(body_of(letter)));
                    const auto found = kept.cache.find(kKey);
                    if (!found || found->body != body_of(found->body[0] - 'a')) ++torn;
                }
            });
        }
    }
    CHECK(torn == 0);
    CHECK(files_of(kept.cache).size() == 1);
}
