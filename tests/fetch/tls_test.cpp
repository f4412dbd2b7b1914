// Certificates, with the openssl program as the server.
#include "catch.hpp"
#include "fetch_fixtures.hpp"
#include "temp_workspace.hpp"

#include <optional>

#include <fcntl.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>

using namespace mildway;
using namespace mildway::testing;

extern char** environ;

namespace {

/// Starts openssl, its output thrown away; empty when there is none.
std::optional<pid_t> start_openssl(std::vector<std::string> words) {
    words.insert(words.begin(), "openssl");
    std::vector<char*> arguments;
    for (std::string& word : words) arguments.push_back(word.data());
    arguments.push_back(nullptr);
    posix_spawn_file_actions_t files;
    posix_spawn_file_actions_init(&files);
    posix_spawn_file_actions_addopen(&files, 0, "/dev/null", O_RDONLY, 0);
    for (const int fd : {1, 2}) posix_spawn_file_actions_addopen(&files, fd, "/dev/null", O_WRONLY, 0);
    pid_t pid = 0;
    const int outcome = posix_spawnp(&pid, "openssl", &files, nullptr, arguments.data(), environ);
    posix_spawn_file_actions_destroy(&files);
    if (outcome != 0) return std::nullopt;
    return pid;
}

/// A server for "localhost" whose certificate is signed by nobody but itself.
class SelfSignedServer {
public:
    SelfSignedServer() {
        const std::string key = (folder_.path() / "key.pem").string();
        const auto made =
            start_openssl({"req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1",
                           "-nodes", "-keyout", key, "-out", certificate(), "-days", "2", "-subj",
                           "/CN=localhost", "-addext", "subjectAltName=DNS:localhost"});
        int status = 1;
        if (!made || waitpid(*made, &status, 0) != *made || status != 0) return;
        const std::string plain = refused_url();
        port_ = plain.substr(plain.rfind(':'));
        pid_ = start_openssl({"s_server", "-accept", "127.0.0.1" + port_, "-key", key, "-cert", certificate(),
                              "-www", "-quiet"});
    }
    ~SelfSignedServer() {
        if (!pid_) return;
        kill(*pid_, SIGKILL);
        waitpid(*pid_, nullptr, 0);
    }
    SelfSignedServer(const SelfSignedServer&) = delete;
    SelfSignedServer& operator=(const SelfSignedServer&) = delete;

    [[nodiscard]] bool runs() const { return pid_.has_value(); }
    [[nodiscard]] std::string url(const std::string& name) const { return "https://" + name + port_ + "/"; }
    [[nodiscard]] std::string certificate() const { return (folder_.path() / "certificate.pem").string(); }

private:
    TempFolder folder_;
    std::string port_;
    std::optional<pid_t> pid_;
};

/// Patient until the server listens.
fetch::CurlOptions patient() {
    fetch::CurlOptions options = quick_options();
    options.tries = 20;
    options.first_wait = options.longest_wait = milliseconds(100);
    return options;
}

}  // namespace

TEST_CASE("a certificate is verified") {
    const SelfSignedServer server;
    if (!server.runs()) {
        WARN("skipped: the openssl program is not there to make a certificate");
        return;
    }
    fetch::CurlOptions trusting = patient();
    trusting.trusted_certificates = server.certificate();

    SECTION("one that is trusted and for this name is accepted") {
        const auto answer = ask(server.url("localhost"), trusting);
        CHECK(answer.trouble.empty());
        CHECK(answer.status == 200);
    }
    SECTION("one that nobody known has signed is refused") {
        const auto answer = ask(server.url("localhost"), patient());
        CHECK(answer.trouble == "the certificate could not be verified");
        CHECK(answer.body.empty());
    }
    SECTION("one for another name is refused") {
        CHECK(ask(server.url("127.0.0.1"), trusting).trouble == "the certificate could not be verified");
    }
    SECTION("a list of trusted certificates that is not there is no reason to trust all") {
        trusting.trusted_certificates = server.certificate() + ".not-there";
        CHECK(ask(server.url("localhost"), trusting).trouble ==
              "the list of trusted certificates could not be read");
    }
}

TEST_CASE("a server that does not speak TLS is not asked in the clear") {
    const HttpServer server(always(with_body("[1]")));
    const auto answer = ask("https" + server.url().substr(4));
    CHECK(answer.trouble == "no secure connection could be made");
    CHECK(server.seen().empty());
}
