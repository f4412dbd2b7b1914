// A workspace with an order book, driven by the real program.
#pragma once

#include "mildway/orders/order_book.hpp"
#include "mildway/orders/outbox.hpp"

#include "temp_workspace.hpp"

#include <csignal>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include <fcntl.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

namespace mildway::testing {

/// Monday morning of the demo week.
inline constexpr const char* kBookNow = "2027-03-01T13:00:00Z";

class BookWorld {
public:
    /// So many corn snakes and geckos to the demo's five places, not entered yet.
    explicit BookWorld(int orders) {
        static const char* const kPlaces[] = {"Sacramento CA", "Albany NY", "Tampa FL"};
        std::string csv = "number,to,species,count,buyer,email\n";
        for (int i = 0; i < orders; ++i) {
            csv += "N-" + std::to_string(i + 1) + "," + kPlaces[i % 3] + ",corn snake,1,Buyer " +
                   std::to_string(i + 1) + ",buyer-" + std::to_string(i + 1) + "@example.org\n";
        }
        spill(workspace_.path() / "orders.csv", csv);
        workspace_.edit_json("week.json", [](nlohmann::ordered_json& week) {
            week["boxes_per_day"] = 1000;
            week.erase("stock");
        });
    }

    [[nodiscard]] TempWorkspace& workspace() { return workspace_; }
    [[nodiscard]] std::string file(const std::string& name) const {
        return (workspace_.path() / name).string();
    }
    [[nodiscard]] std::filesystem::path book_file() const { return workspace_.path() / orders::kBookFile; }
    [[nodiscard]] orders::OrderBook book() const { return orders::OrderBook(book_file()); }

    /// Starts the program on the workspace; its output goes nowhere.
    [[nodiscard]] pid_t start(std::vector<std::string> arguments) const {
        std::vector<std::string> words{
            MILDWAY_PROGRAM, "--workspace", workspace_.name(), "--now", kBookNow, "--threads", "1"};
        words.insert(words.end(), arguments.begin(), arguments.end());
        std::vector<char*> argv;
        for (std::string& word : words) argv.push_back(word.data());
        argv.push_back(nullptr);
        posix_spawn_file_actions_t nowhere;
        posix_spawn_file_actions_init(&nowhere);
        posix_spawn_file_actions_addopen(&nowhere, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
        posix_spawn_file_actions_addopen(&nowhere, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
        pid_t pid = -1;
        const int failed = posix_spawn(&pid, argv[0], &nowhere, nullptr, argv.data(), environ);
        posix_spawn_file_actions_destroy(&nowhere);
        if (failed != 0) throw std::runtime_error("the program does not start");
        return pid;
    }

    /// Its exit code; -1 when it was killed.
    [[nodiscard]] static int wait(pid_t pid) {
        int status = 0;
        if (waitpid(pid, &status, 0) != pid) throw std::runtime_error("the program is lost");
        return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    }

    int run(std::vector<std::string> arguments) const { return wait(start(std::move(arguments))); }

private:
    TempWorkspace workspace_;
};

}  // namespace mildway::testing
