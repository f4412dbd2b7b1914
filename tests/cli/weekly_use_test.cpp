// Every block of docs/weekly-use.md that begins with "$ mildway" is what the program prints, one after the
// other on one workspace. To make them anew after a change on purpose:
//   MILDWAY_BLESS=1 build/release/tests/test_cli "the week in docs*"
#include "mildway/base/files.hpp"

#include "catch.hpp"
#include "command.hpp"

#include <cstdlib>
#include <regex>

using namespace mildway;
using testing::Arguments;

namespace {

const std::string kPage = MILDWAY_SOURCE_DIR "/docs/weekly-use.md";
const std::string kOpening = "```\n$ mildway ";

/// Words of a shell line, with double quotes.
Arguments words_of(const std::string& line) {
    const std::regex word(R"re("([^"]*)"|(\S+))re");
    Arguments words;
    for (std::sregex_iterator at(line.begin(), line.end(), word), end; at != end; ++at)
        words.push_back((*at)[1].matched ? (*at)[1].str() : (*at)[2].str());
    return words;
}

/// The first lines, when the command line ends in "| head -N".
std::string headed(std::string& line, const std::string& text, std::size_t lines) {
    line.resize(line.find(" | head"));
    std::size_t end = 0;
    for (std::size_t i = 0; i < lines && end < text.size(); ++i) end = text.find('\n', end) + 1;
    return text.substr(0, end);
}

std::string run_line(const testing::TempWorkspace& workspace, std::string line, const std::string& now) {
    std::smatch head;
    const bool cut = std::regex_search(line, head, std::regex(R"( \| head -(\d+)$)"));
    std::string bare = cut ? line.substr(0, line.find(" | head")) : line;
    const auto outcome = testing::run_in(workspace, words_of(bare), now.c_str());
    const std::string said = outcome.out + outcome.err;
    return cut ? headed(line, said, std::stoul(head[1])) : said;
}

/// The page with every block's output as the program prints it now.
std::string page_anew(const std::string& page) {
    testing::TempWorkspace workspace;
    std::filesystem::copy_file(MILDWAY_SOURCE_DIR "/fixtures/demo/orders.csv", "orders.csv",
                               std::filesystem::copy_options::overwrite_existing);
    const std::regex now(R"(<!-- now: (\S+) -->)");
    std::string anew;
    std::size_t at = 0;
    std::string clock = testing::kMonday;
    for (std::size_t open = page.find(kOpening); open != std::string::npos; open = page.find(kOpening, at)) {
        const std::string before = page.substr(at, open - at);
        for (std::sregex_iterator told(before.begin(), before.end(), now), end; told != end; ++told)
            clock = (*told)[1];
        const std::size_t line_at = open + kOpening.size();
        const std::size_t line_end = page.find('\n', line_at);
        const std::size_t close = page.find("\n```\n", line_end - 1);
        REQUIRE(close != std::string::npos);
        const std::string line = page.substr(line_at, line_end - line_at);
        anew += before + kOpening + line + "\n" + run_line(workspace, line, clock) + "```\n";
        at = close + 5;
    }
    return anew + page.substr(at);
}

}  // namespace

TEST_CASE("the week in docs is what the program prints") {
    const std::string page = read_file(kPage, 1 << 20);
    const testing::TempFolder here;
    const auto back = std::filesystem::current_path();
    std::filesystem::current_path(here.path());
    const std::string anew = page_anew(page);
    std::filesystem::current_path(back);
    REQUIRE(anew.find(kOpening) != std::string::npos);
    if (std::getenv("MILDWAY_BLESS") != nullptr) {
        write_file(kPage, anew);
        SUCCEED("docs/weekly-use.md written");
        return;
    }
    CHECK(page == anew);
}
