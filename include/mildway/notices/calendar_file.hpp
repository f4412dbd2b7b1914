// An arrival as an iCalendar file (RFC 5545), published with RFC 5546's methods.
#pragma once

#include "mildway/base/time.hpp"

#include <string>

namespace mildway::notices {

struct CalendarEvent {
    std::string uid;   ///< the same for all messages of one order: a moved date replaces the one before
    int sequence = 0;  ///< grows with each change
    Instant stamp;     ///< when it was written
    Instant start;
    Instant end;  ///< after `start`
    std::string summary;
    std::string description;
    std::string location;
    std::string organizer_name;
    std::string organizer_address;
    bool cancelled = false;
};

/// "PUBLISH", or "CANCEL" for one that is cancelled. The buyer is not asked to answer by calendar.
[[nodiscard]] const char* calendar_method(const CalendarEvent& event);

/// The whole file, CRLF, no line over 75 octets. Text may hold line ends; other control characters, and what
/// is not UTF-8, are a UsageError.
[[nodiscard]] std::string calendar_file(const CalendarEvent& event);

}  // namespace mildway::notices
