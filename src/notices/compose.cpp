#include "mildway/notices/compose.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/notices/letter_fields.hpp"
#include "mildway/notices/mail.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::notices {

namespace {

/// Stays with the order for life: neither number nor addresses are in it, which may be corrected.
std::string order_mark(const orders::Order& order) {
    return fmt::format("order-{}-{}", order.id, date::format("%Y%m%dT%H%M%SZ", order.entered));
}

std::string domain_of(const std::string& address) {
    return address.substr(address.find('@') + 1);
}

/// The day that the buyer expects does not hold any more.
bool withdraws(Kind kind) {
    return kind == Kind::window || kind == Kind::taken_back || kind == Kind::cancelled;
}

/// From when to when a buyer should keep free.
std::pair<Instant, Instant> span_of(const Arrival& arrival) {
    constexpr hours kWithoutBetter{1};
    if (arrival.held) {
        const Instant end = arrival.closes.value_or(arrival.promised + kWithoutBetter);
        return {arrival.promised, std::max(end, arrival.promised + minutes(15))};
    }
    const Instant start = arrival.usual.value_or(arrival.promised - kWithoutBetter);
    return {std::min(start, arrival.promised - minutes(15)), arrival.promised};
}

std::string description_of(const Subject& subject) {
    const std::string place = one_line(subject.facts.place.name);
    if (withdraws(subject.due.kind))
        return fmt::format("This parcel will not come on this day. Order {}.",
                           one_line(subject.order.number));
    const Arrival& arrival = subject.facts.arrival.value();
    std::string text = fmt::format("{}, order {}, with {}.\n", one_line(subject.facts.animals),
                                   one_line(subject.order.number), one_line(arrival.carrier));
    text +=
        arrival.held
            ? fmt::format("Collect it in {} as early as you can and keep it out of sun and cold.\n", place)
            : "Be there to take it in at once; it should not stand outside.\n";
    return text + "Parcels can be late, and weather may move the day: we will tell you. Questions: " +
           subject.facts.answers_to;
}

Mail mail_of(const Subject& subject, const MailSettings& settings, const Letter& letter, Instant now) {
    Mail mail;
    mail.from_name = settings.from_name;
    mail.from_address = settings.from_address;
    mail.reply_to = settings.reply_to;
    mail.to_name = one_line(subject.order.buyer.name);
    mail.to_address = subject.order.buyer.email;
    mail.subject = letter.subject;
    mail.date = now;
    mail.message_id =
        fmt::format("{}.{}.{}{}@{}", order_mark(subject.order), kind_name(subject.due.kind),
                    subject.due.version, subject.due.issue == 1 ? "" : fmt::format(".{}", subject.due.issue),
                    domain_of(settings.from_address));
    mail.text = letter.text;
    mail.html = letter.html;
    return mail;
}

}  // namespace

std::optional<CalendarEvent> appointment_of(const Subject& subject, const MailSettings& settings,
                                            Instant now) {
    const bool withdrawn = withdraws(subject.due.kind);
    const bool has_one = withdrawn || subject.due.kind == Kind::date || subject.due.kind == Kind::moved;
    const std::optional<Arrival>& which = withdrawn ? subject.facts.told : subject.facts.arrival;
    if (!has_one || !which) return std::nullopt;
    const Arrival& arrival = *which;
    CalendarEvent event;
    event.uid = order_mark(subject.order);
    event.cancelled = withdrawn;
    event.sequence = subject.due.sequence;  // a reader takes the highest (RFC 5546 3.2.5)
    event.stamp = now;
    std::tie(event.start, event.end) = span_of(arrival);
    const std::string animals = one_line(subject.facts.animals);
    event.summary = arrival.held ? fmt::format("Collect live animals: {}", animals)
                                 : fmt::format("Live animals arrive: {}", animals);
    event.description = description_of(subject);
    event.location = one_line(subject.facts.place.name);
    if (arrival.held)
        event.location = fmt::format("{} counter, {}", one_line(arrival.carrier), event.location);
    event.organizer_name = settings.from_name;
    event.organizer_address = settings.answers_to();
    return event;
}

Composed compose(const Templates& templates, const MailSettings& settings, const Subject& subject,
                 Instant now) {
    Composed composed;
    composed.letter = templates.letter(subject.due.kind, fields_of(subject.due.kind, subject.facts, now));
    Mail mail = mail_of(subject, settings, composed.letter, now);
    if (const auto event = appointment_of(subject, settings, now)) {
        composed.calendar = calendar_file(*event);
        mail.calendar = CalendarPart{calendar_method(*event), composed.calendar,
                                     fmt::format("order-{}.ics", one_line(subject.order.number))};
    }
    composed.verdict = subject.due.verdict;
    orders::Message& message = composed.message;
    message.order = subject.order.id;
    message.number = subject.order.number;
    message.kind = kind_name(subject.due.kind);
    message.version = subject.due.version;
    message.issue = subject.due.issue;
    message.told = subject.due.told;
    message.order_revision = subject.order.revision;
    message.to = subject.order.buyer.email;
    message.subject = composed.letter.subject;
    message.message_id = mail.message_id;
    message.written = now;
    try {
        message.bytes = mail_bytes(mail);
    } catch (const UsageError& error) {
        throw UsageError(fmt::format("order {}: {}", subject.order.number, error.what()));
    }
    return composed;
}

}  // namespace mildway::notices
