// A real mail server (aiosmtpd) on this computer, in a process of its own, for as long as a test lasts.
#pragma once

#include "temp_workspace.hpp"

#include <algorithm>
#include <array>
#include <csignal>
#include <stdexcept>
#include <string>
#include <vector>

#include <sys/wait.h>
#include <unistd.h>

namespace mildway::testing {

/// What a program wrote to its standard output; a failing program is a mistake of the test.
inline std::string output_of(const std::string& command) {
    FILE* pipe = popen(command.c_str(), "r");
    if (pipe == nullptr) throw std::runtime_error("cannot run " + command);
    std::string out;
    std::array<char, 4096> chunk{};
    for (std::size_t n = 0; (n = fread(chunk.data(), 1, chunk.size(), pipe)) > 0;)
        out.append(chunk.data(), n);
    if (pclose(pipe) != 0) throw std::runtime_error("failed: " + command);
    return out;
}

struct Taken {
    std::string from;
    std::string to;
    std::string bytes;
};

class SmtpSink {
public:
    /// Options of smtp_sink.py, such as "rcpt=550 no such user".
    explicit SmtpSink(std::vector<std::string> options = {}) {
        std::array<int, 2> in{};
        std::array<int, 2> out{};
        if (pipe(in.data()) != 0 || pipe(out.data()) != 0) throw std::runtime_error("no pipes");
        std::vector<std::string> words{"/usr/bin/python3", MILDWAY_SOURCE_DIR "/tests/support/smtp_sink.py",
                                       kept_.path().string()};
        words.insert(words.end(), options.begin(), options.end());
        pid_ = fork();
        if (pid_ == 0) {
            dup2(in[0], 0);
            dup2(out[1], 1);
            for (const int fd : {in[0], in[1], out[0], out[1]}) close(fd);
            std::vector<char*> raw;
            for (std::string& word : words) raw.push_back(word.data());
            raw.push_back(nullptr);
            execv(raw[0], raw.data());
            _exit(127);
        }
        close(in[0]);
        close(out[1]);
        input_ = in[1];
        std::array<char, 32> line{};
        std::size_t n = 0;
        while (n + 1 < line.size() && read(out[0], &line[n], 1) == 1 && line[n] != '\n') ++n;
        close(out[0]);
        port_ = n == 0 ? 0 : std::stoi(std::string(line.data(), n));
        if (port_ == 0) throw std::runtime_error("no mail server: is python3-aiosmtpd installed?");
    }
    ~SmtpSink() {
        close(input_);
        kill(pid_, SIGKILL);
        waitpid(pid_, nullptr, 0);
    }
    SmtpSink(const SmtpSink&) = delete;
    SmtpSink& operator=(const SmtpSink&) = delete;

    [[nodiscard]] int port() const { return port_; }

    /// What it took, oldest first.
    [[nodiscard]] std::vector<Taken> taken() const {
        std::vector<std::filesystem::path> files;
        for (const auto& entry : std::filesystem::directory_iterator(kept_.path())) {
            if (entry.path().extension() == ".mail") files.push_back(entry.path());
        }
        std::sort(files.begin(), files.end());
        std::vector<Taken> all;
        for (const auto& file : files) {
            const std::string text = slurp(file);
            const auto blank = text.find(' ');
            const auto end = text.find('\n');
            all.push_back(
                {text.substr(0, blank), text.substr(blank + 1, end - blank - 1), text.substr(end + 1)});
        }
        return all;
    }

private:
    TempFolder kept_;
    pid_t pid_ = -1;
    int input_ = -1;
    int port_ = 0;
};

/// A certificate that no authority has signed, made by the server itself with these options.
struct OwnCertificate {
    TempFolder folder;
    [[nodiscard]] std::string file() const { return (folder.path() / "certificate.pem").string(); }
    [[nodiscard]] std::vector<std::string> options() const {
        return {"make-certificate=yes", "certificate=" + file(),
                "key=" + (folder.path() / "key.pem").string()};
    }
};

}  // namespace mildway::testing
