// Sending what waits in the outbox, each message once.
#pragma once

#include "mildway/notices/sender.hpp"
#include "mildway/orders/outbox.hpp"

#include <string>
#include <vector>

namespace mildway::notices {

struct Sent {
    orders::Message message;  ///< without its bytes; its state as it is now
    Delivery delivery;
};

struct SendReport {
    std::vector<Sent> tried;  ///< in the order of sending
    /// Not sent, still waiting: their orders changed after the messages were found true.
    std::vector<orders::Message> changed;
    /// Why the rest was left waiting; empty: all were tried.
    std::string stopped;
};

/// Sends every written message, oldest first. To be called by the one run that holds the lock, after
/// Outbox::recover. Stops at the
/// first for which the server cannot be used at all.
[[nodiscard]] SendReport send_waiting(orders::Outbox& outbox, Sender& sender, Instant now);

}  // namespace mildway::notices
