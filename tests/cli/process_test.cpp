// The program as a process: what its streams carry and what it needs of its surroundings.
#include "catch.hpp"
#include "command.hpp"

#include <array>
#include <cstdio>

#include <sys/wait.h>

using namespace mildway;
using testing::TempWorkspace;

namespace {

struct Process {
    int code;
    std::string out;
};

/// Runs a line of shell; the result is its standard output.
Process shell(const std::string& line) {
    FILE* pipe = popen(line.c_str(), "r");
    REQUIRE(pipe != nullptr);
    std::string out;
    std::array<char, 4096> buffer{};
    for (std::size_t n; (n = fread(buffer.data(), 1, buffer.size(), pipe)) > 0;) out.append(buffer.data(), n);
    const int status = pclose(pipe);
    return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, out};
}

std::string quoted(const std::string& text) {
    return "'" + text + "'";
}

std::string plan_line(const TempWorkspace& workspace, const std::string& more = "") {
    return quoted(MILDWAY_PROGRAM) + " --workspace " + quoted(workspace.name()) + " --now " +
           testing::kMonday + " plan --to 'Duluth MN' --species 'corn snake' --scenarios 64 --recorded " +
           quoted(workspace.recorded()) + " " + more;
}

}  // namespace

TEST_CASE("the process prints what the command does and nothing else on standard output") {
    TempWorkspace workspace;
    const Process process = shell(plan_line(workspace, "--json 2>/dev/null"));
    const auto outcome = testing::plan_in(workspace, {"--json"});
    CHECK(process.code == outcome.code);
    CHECK(process.out == outcome.out);
}

TEST_CASE("notes go to standard error and leave JSON clean") {
    TempWorkspace workspace;
    const std::string line =
        quoted(MILDWAY_PROGRAM) + " --workspace " + quoted(workspace.name()) + " --now " + testing::kMonday +
        " plan --to 46.7867,-92.1005 --species 'corn snake' --days 1 --json --recorded " +
        quoted(workspace.recorded()) + " ";
    CHECK(nlohmann::json::accept(shell(line + "2>/dev/null").out));
    CHECK_THAT(shell(line + "2>&1 >/dev/null").out, Catch::StartsWith("note: "));
}

TEST_CASE("the process needs nothing of its environment") {
    TempWorkspace workspace;
    const Process bare = shell("cd / && env -i " + plan_line(workspace));
    CHECK(bare.code == testing::plan_in(workspace).code);
    CHECK(bare.out == testing::plan_in(workspace).out);
}

TEST_CASE("locale and time zone of the user change no byte") {
    TempWorkspace workspace;
    const std::string line = plan_line(workspace, "--json");
    CHECK(shell("LC_ALL=de_DE.UTF-8 LANG=de_DE.UTF-8 TZ=Asia/Kolkata " + line).out == shell(line).out);
}

TEST_CASE("a result that cannot be written is a failure of the system") {
    TempWorkspace workspace;
    CHECK(shell(plan_line(workspace, ">/dev/full 2>/dev/null")).code == cli::kSystemFailure);
    CHECK_THAT(shell(plan_line(workspace, "2>&1 >/dev/full")).out, Catch::Contains("could not be written"));
    CHECK(shell(quoted(MILDWAY_PROGRAM) + " --help >/dev/full 2>/dev/null").code == cli::kSystemFailure);
}

TEST_CASE("errors of the process have their codes and an empty standard output") {
    TempWorkspace workspace;
    const Process usage = shell(plan_line(workspace, "--days 0 2>/dev/null"));
    CHECK(usage.code == cli::kWrongUsage);
    CHECK(usage.out.empty());
    workspace.remove("weather");
    CHECK(shell(plan_line(workspace, "2>/dev/null")).code == cli::kNoWeather);
    workspace.remove("species.json");
    CHECK(shell(plan_line(workspace, "2>/dev/null")).code == cli::kWrongInput);
}

TEST_CASE("without a workspace named the current folder is it") {
    TempWorkspace workspace;
    const Process process =
        shell("cd " + quoted(workspace.name()) + " && " + quoted(MILDWAY_PROGRAM) + " config check");
    CHECK(process.code == cli::kDone);
    CHECK_THAT(process.out, Catch::Contains(": good ("));
}
