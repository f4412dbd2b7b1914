#include "mildway/notices/mail.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/mail_address.hpp"

#include "mime_text.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <string_view>
#include <vector>

#include <fmt/format.h>

namespace mildway::notices {

namespace {

struct Part {
    std::string headers;
    std::string body;
};

std::string date_text(Instant when) {
    constexpr std::array<const char*, 12> kMonths{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                                  "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    const auto day = date::floor<date::days>(when);
    const Date date{day};
    const date::hh_mm_ss<seconds> clock{when - day};
    return fmt::format("{}, {} {} {:04d} {:02d}:{:02d}:{:02d} +0000", weekday_names()[weekday_index(day)],
                       static_cast<unsigned>(date.day()), kMonths[static_cast<unsigned>(date.month()) - 1],
                       static_cast<int>(date.year()), clock.hours().count(), clock.minutes().count(),
                       clock.seconds().count());
}

Part text_part(std::string_view type, std::string_view text) {
    return {fmt::format("Content-Type: {}\r\nContent-Transfer-Encoding: quoted-printable\r\n", type),
            quoted_printable(text)};
}

std::string safe_file_name(std::string name) {
    for (char& c : name) {
        const bool plain =
            std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '.' || c == '_' || c == '-';
        if (!plain) c = '-';
    }
    constexpr std::size_t kLongest = 40;  // the header stays on one line
    if (name.size() > kLongest) name = name.substr(name.size() - kLongest);
    return name;
}

/// RFC 2046 5.1.1: a line that occurs in no part. "=_" never does in quoted-printable or base64 (RFC 2045
/// 6.7), and a multipart within another is of another kind.
std::string boundary_for(std::string_view kind) {
    return fmt::format("=_mildway_{}", kind);
}

Part multipart(std::string_view kind, const std::vector<Part>& parts) {
    const std::string boundary = boundary_for(kind);
    Part whole{fmt::format("Content-Type: multipart/{};\r\n boundary=\"{}\"\r\n", kind, boundary), ""};
    for (const Part& part : parts)
        whole.body += fmt::format("--{}\r\n{}\r\n{}\r\n", boundary, part.headers, part.body);
    whole.body += fmt::format("--{}--\r\n", boundary);
    return whole;
}

Part body_of(const Mail& mail) {
    std::vector<Part> readings{text_part("text/plain; charset=utf-8", mail.text),
                               text_part("text/html; charset=utf-8", mail.html)};
    if (!mail.calendar) return multipart("alternative", readings);
    const CalendarPart& calendar = *mail.calendar;
    // RFC 6047 2.4: the method stands as a parameter, too, and equals the file's
    readings.push_back(
        text_part(fmt::format("text/calendar; charset=utf-8; method={}", calendar.method), calendar.bytes));
    const std::string name = safe_file_name(calendar.file_name);
    const Part attachment{
        fmt::format("Content-Type: text/calendar; charset=utf-8; method={};\r\n name=\"{}\"\r\n"
                    "Content-Transfer-Encoding: base64\r\n"
                    "Content-Disposition: attachment;\r\n filename=\"{}\"\r\n",
                    calendar.method, name, name),
        base64_lines(calendar.bytes)};
    return multipart("mixed", {multipart("alternative", readings), attachment});
}

}  // namespace

std::string mail_bytes(const Mail& mail) {
    if (!valid_address(mail.message_id))
        throw UsageError(fmt::format("'{}' cannot be the id of a message", mail.message_id));
    std::string out = header_line("From", mailbox_words("the sender", mail.from_name, mail.from_address));
    if (!mail.reply_to.empty())
        out += header_line("Reply-To", mailbox_words("where answers go", "", mail.reply_to));
    out += header_line("To", mailbox_words("the buyer", mail.to_name, mail.to_address));
    out += header_line("Subject", header_words("the subject", mail.subject));
    out += fmt::format("Date: {}\r\n", date_text(mail.date));
    out += fmt::format("Message-ID: <{}>\r\n", mail.message_id);
    out += "MIME-Version: 1.0\r\n";
    out += "Auto-Submitted: auto-generated\r\n";  // RFC 3834: holiday answers are not wanted
    const Part body = body_of(mail);
    return out + body.headers + "\r\n" + body.body;
}

}  // namespace mildway::notices
