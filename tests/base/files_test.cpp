#include "mildway/base/files.hpp"

#include "mildway/base/errors.hpp"

#include "catch.hpp"

#include <stdlib.h>

namespace fs = std::filesystem;
using mildway::read_file;
using mildway::write_file;

namespace {

/// A new empty folder that is removed with everything in it.
class Folder {
public:
    Folder() {
        std::string name = (fs::temp_directory_path() / "mildway-files-XXXXXX").string();
        REQUIRE(::mkdtemp(name.data()) != nullptr);
        path_ = name;
    }
    ~Folder() {
        std::error_code ignored;
        fs::remove_all(path_, ignored);
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;

    [[nodiscard]] fs::path operator/(const char* name) const { return path_ / name; }
    [[nodiscard]] long count() const { return std::distance(fs::directory_iterator(path_), {}); }

private:
    fs::path path_;
};

}  // namespace

TEST_CASE("A file is replaced whole and leaves nothing beside it") {
    const Folder folder;
    write_file(folder / "plan.json", "a longer first text");
    write_file(folder / "plan.json", "second");
    CHECK(read_file(folder / "plan.json", 100) == "second");
    CHECK(folder.count() == 1);
}

TEST_CASE("Every byte survives writing and reading") {
    const Folder folder;
    std::string bytes;
    for (int i = 0; i < 200000; ++i) bytes.push_back(static_cast<char>(i * 7));
    write_file(folder / "bytes", bytes);
    CHECK(read_file(folder / "bytes", bytes.size()) == bytes);
}

TEST_CASE("Writing into a folder that is missing is a system error that names the file") {
    const Folder folder;
    CHECK_THROWS_AS(write_file(folder / "missing/plan.json", "x"), mildway::SystemError);
    CHECK_THROWS_WITH(write_file(folder / "missing/plan.json", "x"), Catch::Contains("plan.json"));
    CHECK(folder.count() == 0);
}

TEST_CASE("A write that fails at the last step removes its temporary file") {
    const Folder folder;
    fs::create_directory(folder / "plan.json");  // a folder cannot be replaced by a file
    CHECK_THROWS_AS(write_file(folder / "plan.json", "x"), mildway::SystemError);
    CHECK(folder.count() == 1);
}

TEST_CASE("A file may be as large as the cap and no larger") {
    const Folder folder;
    write_file(folder / "five", "12345");
    CHECK(read_file(folder / "five", 5) == "12345");
    CHECK_THROWS_AS(read_file(folder / "five", 4), mildway::InputError);
}

TEST_CASE("A folder is not read as a file") {
    const Folder folder;
    fs::create_directory(folder / "plans");
    CHECK_THROWS_WITH(read_file(folder / "plans", 10), Catch::Contains("is not a file"));
}
