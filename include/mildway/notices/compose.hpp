// A message from facts and wording to final bytes.
#pragma once

#include "mildway/notices/calendar_file.hpp"
#include "mildway/notices/due.hpp"
#include "mildway/notices/facts.hpp"
#include "mildway/notices/mail_settings.hpp"
#include "mildway/notices/templates.hpp"
#include "mildway/orders/outbox.hpp"

#include <optional>

namespace mildway::notices {

struct Composed {
    orders::Message message;  ///< with bytes; not in any outbox yet
    Letter letter;
    std::string calendar;            ///< the file; empty: none
    std::optional<Verdict> verdict;  ///< Due::verdict
};

/// What the message is of.
struct Subject {
    const orders::Order& order;
    const Due& due;
    const Facts& facts;
};

/// The appointment that goes with a message; empty when it has none (date and moved have one;
/// window, taken-back and cancelled withdraw it).
[[nodiscard]] std::optional<CalendarEvent> appointment_of(const Subject& subject,
                                                          const MailSettings& settings, Instant now);

/// UsageError, naming the order, when its buyer's address or name cannot stand in a mail.
[[nodiscard]] Composed compose(const Templates& templates, const MailSettings& settings,
                               const Subject& subject, Instant now);

}  // namespace mildway::notices
