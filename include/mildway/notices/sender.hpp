// Giving a message's bytes to a mail server.
#pragma once

#include "mildway/notices/mail_settings.hpp"

#include <functional>
#include <memory>
#include <string>
#include <string_view>

namespace mildway::notices {

/// What became of one message. taken: the server has it. refused: it will not take it (5yz). not_now: it says
/// no for now (4yz). no_server: it was not reached, or takes nothing from us (login, certificate, sender).
/// in_doubt: it was given some of the text and did not say what it did with it.
enum class Fate { taken, refused, not_now, no_server, in_doubt };

struct Delivery {
    Fate fate = Fate::no_server;
    std::string reply;  ///< what the server said last, or what went wrong; one line, never a secret
};

struct Envelope {
    std::string to;  ///< address
    std::string_view bytes;
};

class Sender {
public:
    Sender() = default;
    virtual ~Sender() = default;
    Sender(const Sender&) = delete;
    Sender& operator=(const Sender&) = delete;
    Sender(Sender&&) = delete;
    Sender& operator=(Sender&&) = delete;

    /// Calls `on_wire` once, when the server has asked for the text and before it is given the first byte.
    /// What that throws comes out here; nothing has been handed over then.
    virtual Delivery send(const Envelope& envelope, const std::function<void()>& on_wire) = 0;
};

/// SMTP (RFC 5321) through libcurl, a connection for each message. Certificates are always checked. Throws
/// InputError when the password file is missing or not for its owner alone.
[[nodiscard]] std::unique_ptr<Sender> smtp_sender(const MailSettings& settings);

}  // namespace mildway::notices
