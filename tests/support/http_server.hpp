// A small web server on this computer for tests: real sockets, honest answers, and the faults of real
// services.
#pragma once

#include <algorithm>
#include <cctype>
#include <chrono>
#include <condition_variable>
#include <functional>
#include <list>
#include <map>
#include <mutex>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <thread>
#include <vector>

#include <arpa/inet.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <sys/socket.h>
#include <unistd.h>
#include <zlib.h>

namespace mildway::testing {

enum class Fault {
    none,
    hang,                 ///< never answers
    close_before_answer,  ///< takes the request and hangs up
    reset_in_body,        ///< half of the body, then a reset
    cut_body,             ///< half of the body, no length given, Connection: close
    cut_length,           ///< half of the body under the length of the whole
    drip,                 ///< a byte every 20 ms
    fall_silent,          ///< half of the body, then nothing more
    gzip_bomb             ///< 64 MB of blanks in a few hundred kB
};

struct Reply {
    int status = 200;
    std::string body{};
    std::string content_type = "application/json";
    std::vector<std::string> headers{};  ///< further ones, "Name: value"
    std::chrono::milliseconds delay{0};
    Fault fault = Fault::none;
};

struct Seen {
    std::string target;                          ///< path?query
    std::map<std::string, std::string> headers;  ///< lower-case names
};

/// For a body under "Content-Encoding: gzip".
inline std::string gzipped(std::string_view text) {
    z_stream stream{};
    // 16 added to the window bits asks for a gzip header (zlib manual, deflateInit2).
    if (deflateInit2(&stream, Z_BEST_SPEED, Z_DEFLATED, 15 + 16, 8, Z_DEFAULT_STRATEGY) != Z_OK)
        throw std::runtime_error("zlib does not start");
    std::string packed(deflateBound(&stream, static_cast<uLong>(text.size())), '\0');
    std::string unpacked(text);
    stream.next_in = reinterpret_cast<Bytef*>(unpacked.data());
    stream.avail_in = static_cast<uInt>(unpacked.size());
    stream.next_out = reinterpret_cast<Bytef*>(packed.data());
    stream.avail_out = static_cast<uInt>(packed.size());
    const int outcome = deflate(&stream, Z_FINISH);
    packed.resize(stream.total_out);
    deflateEnd(&stream);
    if (outcome != Z_STREAM_END) throw std::runtime_error("zlib does not finish");
    return packed;
}

/// Serves until it is destroyed, also when a client hangs then. `answer` is called for one request at a time;
/// delays and sending run side by side.
class HttpServer {
public:
    explicit HttpServer(std::function<Reply(const Seen&)> answer) : answer_(std::move(answer)) {
        listener_ = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
        sockaddr_in address{};
        address.sin_family = AF_INET;
        address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
        socklen_t size = sizeof(address);
        auto* generic = reinterpret_cast<sockaddr*>(&address);
        if (listener_ < 0 || bind(listener_, generic, size) != 0 || listen(listener_, 256) != 0 ||
            getsockname(listener_, generic, &size) != 0)
            throw std::runtime_error("no server for the test");
        port_ = ntohs(address.sin_port);
        acceptor_ = std::thread([this] { accept_all(); });
    }

    ~HttpServer() {
        {
            const std::lock_guard lock(mutex_);
            stopping_ = true;
            for (const Connection& connection : connections_) {
                if (connection.socket >= 0) shutdown(connection.socket, SHUT_RDWR);
            }
        }
        stop_.notify_all();
        shutdown(listener_, SHUT_RDWR);
        acceptor_.join();  // after that nobody adds connections
        for (Connection& connection : connections_) connection.thread.join();
        close(listener_);
    }

    HttpServer(const HttpServer&) = delete;
    HttpServer& operator=(const HttpServer&) = delete;

    [[nodiscard]] std::string url() const { return "http://127.0.0.1:" + std::to_string(port_); }
    [[nodiscard]] int port() const { return port_; }

    /// The requests so far, in the order they came.
    [[nodiscard]] std::vector<Seen> seen() const {
        const std::lock_guard lock(mutex_);
        return seen_;
    }

    /// The largest number of requests that were being answered at a time.
    [[nodiscard]] int most_at_once() const {
        const std::lock_guard lock(mutex_);
        return most_at_once_;
    }

    [[nodiscard]] std::size_t connections() const {
        const std::lock_guard lock(mutex_);
        return connections_.size();
    }

private:
    struct Connection {
        int socket = -1;  ///< -1 once it is closed
        std::thread thread;
    };

    void accept_all() {
        for (;;) {
            const int socket = accept4(listener_, nullptr, nullptr, SOCK_CLOEXEC);
            const std::lock_guard lock(mutex_);
            if (stopping_) {
                if (socket >= 0) close(socket);
                return;
            }
            if (socket < 0) continue;
            const int on = 1;
            setsockopt(socket, IPPROTO_TCP, TCP_NODELAY, &on, sizeof(on));
            Connection& connection = connections_.emplace_back();
            connection.socket = socket;
            connection.thread = std::thread([this, &connection, socket] {
                std::string pending;
                while (serve_one(socket, pending)) continue;
                // Under the lock, so that the destructor does not touch a number that is used anew.
                const std::lock_guard closing(mutex_);
                connection.socket = -1;
                close(socket);
            });
        }
    }

    /// Reads a request and answers it; false when the connection is at its end.
    bool serve_one(int socket, std::string& pending) {
        const std::optional<Seen> request = read_request(socket, pending);
        if (!request) return false;
        {
            const std::lock_guard lock(mutex_);
            seen_.push_back(*request);
            most_at_once_ = std::max(most_at_once_, ++at_once_);
        }
        Reply reply = reply_to(*request);
        if (!wait(reply.delay)) return false;
        {
            const std::lock_guard lock(mutex_);
            --at_once_;  // before the client can know that it may send the next
        }
        return send_reply(socket, reply);
    }

    /// A test whose answer throws gets a failure with the reason, not the end of the program.
    Reply reply_to(const Seen& request) {
        const std::lock_guard one_at_a_time(answering_);
        try {
            return answer_(request);
        } catch (const std::exception& error) {
            Reply reply;
            reply.status = 501;  // which is not tried again
            reply.body = std::string("the test itself threw: ") + error.what();
            return reply;
        }
    }

    static std::optional<Seen> read_request(int socket, std::string& pending) {
        std::size_t end = 0;
        while ((end = pending.find("\r\n\r\n")) == std::string::npos) {
            char bytes[4096];
            const ssize_t count = recv(socket, bytes, sizeof(bytes), 0);
            if (count <= 0) return std::nullopt;
            pending.append(bytes, static_cast<std::size_t>(count));
            if (pending.size() >= 4 && !pending.starts_with("GET "))
                return std::nullopt;  // no HTTP, or not for us
        }
        Seen seen;
        const std::string head = pending.substr(0, end + 2);
        pending.erase(0, end + 4);
        std::size_t start = head.find("\r\n") + 2;
        const std::size_t target = head.find(' ') + 1;
        seen.target = head.substr(target, head.find(' ', target) - target);
        for (std::size_t stop; (stop = head.find("\r\n", start)) != std::string::npos; start = stop + 2) {
            const std::string line = head.substr(start, stop - start);
            const std::size_t colon = std::min(line.find(':'), line.size());
            std::string name = line.substr(0, colon);
            std::transform(name.begin(), name.end(), name.begin(),
                           [](unsigned char letter) { return static_cast<char>(std::tolower(letter)); });
            const std::size_t value = line.find_first_not_of(": \t", colon);
            seen.headers[name] = value == std::string::npos ? "" : line.substr(value);
        }
        return seen;
    }

    /// False when the server is being destroyed.
    bool wait(std::chrono::milliseconds time) {
        std::unique_lock lock(mutex_);
        return !stop_.wait_for(lock, time, [this] { return stopping_; });
    }

    static bool send_all(int socket, std::string_view bytes) {
        while (!bytes.empty()) {
            const ssize_t count = send(socket, bytes.data(), bytes.size(), MSG_NOSIGNAL);
            if (count <= 0) return false;
            bytes.remove_prefix(static_cast<std::size_t>(count));
        }
        return true;
    }

    static std::string head_of(const Reply& reply, std::optional<std::size_t> length) {
        std::string head = "HTTP/1.1 " + std::to_string(reply.status) + " Made For A Test\r\n";
        if (!reply.content_type.empty()) head += "Content-Type: " + reply.content_type + "\r\n";
        for (const std::string& header : reply.headers) head += header + "\r\n";
        if (length) head += "Content-Length: " + std::to_string(*length) + "\r\n";
        return head + "\r\n";
    }

    bool send_reply(int socket, Reply& reply) {
        const std::string_view half = std::string_view(reply.body).substr(0, reply.body.size() / 2);
        switch (reply.fault) {
            case Fault::hang:
                wait_for_hang_up(socket);
                return false;
            case Fault::close_before_answer:
                return false;
            case Fault::reset_in_body: {
                send_all(socket, head_of(reply, reply.body.size()));
                send_all(socket, half);
                wait(std::chrono::milliseconds(50));  // let the half arrive: a reset throws away what did not
                const linger reset{1, 0};             // closing then resets (tcp(7), SO_LINGER)
                setsockopt(socket, SOL_SOCKET, SO_LINGER, &reset, sizeof(reset));
                return false;
            }
            case Fault::cut_body:
                reply.headers.emplace_back("Connection: close");
                send_all(socket, head_of(reply, std::nullopt));
                send_all(socket, half);
                return false;
            case Fault::cut_length:
                send_all(socket, head_of(reply, reply.body.size()));
                send_all(socket, half);
                return false;
            case Fault::fall_silent:
                send_all(socket, head_of(reply, reply.body.size()));
                send_all(socket, half);
                wait_for_hang_up(socket);
                return false;
            case Fault::drip:
                return send_drops(socket, reply);
            case Fault::gzip_bomb:
                reply.body = gzipped(std::string(64u << 20, ' '));
                reply.headers.emplace_back("Content-Encoding: gzip");
                break;
            case Fault::none:
                break;
        }
        // 204 and 304 have neither body nor length (RFC 9110, 15.3.5 and 15.4.5).
        if (reply.status == 204 || reply.status == 304) return send_all(socket, head_of(reply, std::nullopt));
        return send_all(socket, head_of(reply, reply.body.size())) && send_all(socket, reply.body);
    }

    static void wait_for_hang_up(int socket) {
        char byte = 0;
        while (recv(socket, &byte, 1, 0) > 0) continue;
    }

    bool send_drops(int socket, const Reply& reply) {
        if (!send_all(socket, head_of(reply, reply.body.size()))) return false;
        for (const char& letter : reply.body) {
            if (!send_all(socket, {&letter, 1}) || !wait(std::chrono::milliseconds(20))) return false;
        }
        return true;
    }

    std::function<Reply(const Seen&)> answer_;
    int listener_ = -1;
    int port_ = 0;
    std::thread acceptor_;
    mutable std::mutex mutex_;
    std::mutex answering_;
    std::condition_variable stop_;
    bool stopping_ = false;
    std::list<Connection> connections_;  // a list, so that threads may hold on to their own
    std::vector<Seen> seen_;
    int at_once_ = 0;
    int most_at_once_ = 0;
};

}  // namespace mildway::testing
