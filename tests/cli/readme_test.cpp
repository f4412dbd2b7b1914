// The plan in README.md is the program's own output. To make it anew after a change on purpose:
//   MILDWAY_BLESS=1 build/release/tests/test_cli "the plan in README*"
#include "mildway/base/files.hpp"

#include "catch.hpp"
#include "run.hpp"

#include <cstdlib>
#include <sstream>

using namespace mildway;

namespace {

const std::string kReadme = MILDWAY_SOURCE_DIR "/README.md";
const std::string kBegin = "<!-- plan: checked by tests/cli/readme_test.cpp -->\n";
const std::string kEnd = "<!-- end of plan -->\n";

std::string plan_as_shown() {
    std::ostringstream out, err;
    cli::Console console{out, err, [] { return Instant{}; }, 1};
    const int code = cli::run({"--workspace", MILDWAY_SOURCE_DIR "/config", "--now", "2027-03-01T13:00:00Z",
                               "plan", "--to", "Albany NY", "--species", "corn snake", "--top", "4",
                               "--recorded", MILDWAY_SOURCE_DIR "/fixtures/demo/weather"},
                              console);
    REQUIRE(code == cli::kDone);
    return "```\n$ mildway plan --to \"Albany NY\" --species \"corn snake\" --top 4\n" + out.str() + "```\n";
}

}  // namespace

TEST_CASE("the plan in README is what the program prints") {
    const std::string readme = read_file(kReadme, 1 << 20);
    const std::size_t begin = readme.find(kBegin) + kBegin.size();
    const std::size_t end = readme.find(kEnd);
    REQUIRE(readme.find(kBegin) != std::string::npos);
    REQUIRE(end != std::string::npos);
    const std::string shown = plan_as_shown();
    if (std::getenv("MILDWAY_BLESS") != nullptr) {
        write_file(kReadme, readme.substr(0, begin) + shown + readme.substr(end));
        SUCCEED("README.md written");
        return;
    }
    CHECK(readme.substr(begin, end - begin) == shown);
}
