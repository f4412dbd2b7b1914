// A message as the bytes of RFC 5322, built once: the outbox keeps them and sends no others.
#pragma once

#include "mildway/base/time.hpp"

#include <optional>
#include <string>

namespace mildway::notices {

struct CalendarPart {
    std::string method;     ///< "PUBLISH", as in the file
    std::string bytes;      ///< the file
    std::string file_name;  ///< letters, digits, ".", "_" and "-"; others become "-"
};

struct Mail {
    std::string from_name;
    std::string from_address;
    std::string reply_to;  ///< empty: none
    std::string to_name;
    std::string to_address;
    std::string subject;
    Instant date;
    std::string message_id;  ///< without angle brackets; the form of an address
    std::string text;        ///< lines end in LF
    std::string html;
    std::optional<CalendarPart> calendar;
};

/// The message with CRLF, no line over 78 octets, ASCII alone. The same Mail gives the same bytes. UsageError
/// for a header that holds a control character or an address that is none.
[[nodiscard]] std::string mail_bytes(const Mail& mail);

}  // namespace mildway::notices
