#include "mildway/notices/calendar_file.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/text.hpp"

#include <string_view>

#include <fmt/format.h>

namespace mildway::notices {

namespace {

/// RFC 5545 3.1: content lines are folded so that none is over 75 octets, here never within a character.
std::string folded(std::string_view line) {
    constexpr std::size_t kOctets = 75;
    std::string out;
    std::size_t room = kOctets;
    while (line.size() > room) {
        std::size_t cut = room;
        while (!starts_character(line[cut])) --cut;
        out.append(line.substr(0, cut)).append("\r\n ");
        line.remove_prefix(cut);
        room = kOctets - 1;
    }
    return out.append(line).append("\r\n");
}

void refuse_unless_text(std::string_view text) {
    for (const char c : text) {
        const bool control = (static_cast<unsigned char>(c) < 0x20 && c != '\n' && c != '\t') || c == 0x7f;
        if (control) throw UsageError("text for a calendar file holds a control character");
    }
    if (!valid_utf8(text)) throw UsageError("text for a calendar file is not UTF-8");
}

/// RFC 5545 3.3.11.
std::string escaped(std::string_view text) {
    refuse_unless_text(text);
    std::string out;
    for (const char c : text) {
        if (c == '\n') {
            out += "\\n";
            continue;
        }
        if (c == '\\' || c == ';' || c == ',') out += '\\';
        out += c;
    }
    return out;
}

/// A quoted parameter value can hold no quotes and has no escapes (RFC 5545 3.1).
std::string parameter(std::string_view text) {
    refuse_unless_text(text);
    std::string out = "\"";
    for (const char c : text) out += c == '"' ? '\'' : c == '\n' ? ' ' : c;
    return out + '"';
}

std::string utc(Instant when) {
    return date::format("%Y%m%dT%H%M%SZ", when);
}

}  // namespace

const char* calendar_method(const CalendarEvent& event) {
    return event.cancelled ? "CANCEL" : "PUBLISH";
}

std::string calendar_file(const CalendarEvent& event) {
    std::string out;
    const auto line = [&](std::string_view name, const std::string& value) {
        out += folded(fmt::format("{}:{}", name, value));
    };
    line("BEGIN", "VCALENDAR");
    line("VERSION", "2.0");
    line("PRODID", "-//mildway//arrivals//EN");
    line("METHOD", calendar_method(event));
    line("BEGIN", "VEVENT");
    line("UID", escaped(event.uid));
    line("SEQUENCE", fmt::format("{}", event.sequence));
    line("DTSTAMP", utc(event.stamp));
    line("DTSTART", utc(event.start));
    line("DTEND", utc(event.end));
    line("SUMMARY", escaped(event.summary));
    line("DESCRIPTION", escaped(event.description));
    line("LOCATION", escaped(event.location));
    line("ORGANIZER;CN=" + parameter(event.organizer_name), "mailto:" + event.organizer_address);
    line("STATUS", event.cancelled ? "CANCELLED" : "CONFIRMED");
    line("TRANSP", "OPAQUE");
    line("END", "VEVENT");
    line("END", "VCALENDAR");
    return out;
}

}  // namespace mildway::notices
