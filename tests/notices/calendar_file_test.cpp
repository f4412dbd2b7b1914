// The calendar file, read back by libical, an independent reader and judge (RFC 5545, RFC 5546).
#include "mildway/notices/calendar_file.hpp"

#include "mildway/base/errors.hpp"

#include "catch.hpp"

#include <random>

#include <libical/ical.h>

using namespace mildway;
using namespace date::literals;

namespace {

notices::CalendarEvent event_at(Instant start) {
    return {"order-7-20270225T080000Z",
            1,
            start - hours(90),
            start,
            start + minutes(40),
            "Live animals arrive",
            "One; two, three\nfour \\ five",
            "Duluth MN",
            "Juniper \"Bench\" Herpetology",
            "orders@example.org"};
}

const Instant kStart = date::sys_days(2027_y / 3 / 2) + hours(15) + minutes(50);

using Component = std::unique_ptr<icalcomponent, decltype(&icalcomponent_free)>;

Component parsed(const std::string& file) {
    Component whole(icalparser_parse_string(file.c_str()), icalcomponent_free);
    REQUIRE(whole != nullptr);
    return whole;
}

/// What libical made of each line that it could not read: it adds X-LIC-ERROR to them.
int errors_in(icalcomponent* whole) {
    return icalcomponent_count_errors(whole);
}

std::vector<std::string> lines_of(const std::string& file) {
    std::vector<std::string> lines;
    for (std::size_t at = 0; at < file.size();) {
        const auto end = file.find("\r\n", at);
        REQUIRE(end != std::string::npos);
        lines.push_back(file.substr(at, end - at));
        at = end + 2;
    }
    return lines;
}

/// Text with what is hard to carry: separators, line ends, long words, letters of two to four bytes.
std::string random_text(std::mt19937& random) {
    static const std::vector<std::string> pieces{
        "a", "gecko ", ";", ",", "\\", "\n", ":", "\"", "ü", "ß", "漢", "🐍", "  ", "BEGIN:VEVENT\n", "\\n"};
    std::string text;
    const auto length = random() % 120;
    for (unsigned i = 0; i < length; ++i) text += pieces[random() % pieces.size()];
    return "." + text + ".";  // libical cuts blanks at both ends of a value
}

}  // namespace

TEST_CASE("a published arrival obeys the rules of the standard as libical knows them") {
    const Component whole = parsed(notices::calendar_file(event_at(kStart)));
    CHECK(errors_in(whole.get()) == 0);
    CHECK(icalrestriction_check(whole.get()) == 1);
    CHECK(icalcomponent_get_method(whole.get()) == ICAL_METHOD_PUBLISH);
    icalcomponent* event = icalcomponent_get_first_component(whole.get(), ICAL_VEVENT_COMPONENT);
    REQUIRE(event != nullptr);
    CHECK(std::string(icalcomponent_get_uid(event)) == "order-7-20270225T080000Z");
    CHECK(icalcomponent_get_sequence(event) == 1);
    CHECK(icalcomponent_get_status(event) == ICAL_STATUS_CONFIRMED);
    CHECK(std::string(icalcomponent_get_description(event)) == "One; two, three\nfour \\ five");
    CHECK(icaltime_as_timet(icalcomponent_get_dtstart(event)) == kStart.time_since_epoch().count());
    CHECK(icaltime_is_utc(icalcomponent_get_dtstart(event)) == 1);
    CHECK(icaltime_as_timet(icalcomponent_get_dtend(event)) ==
          (kStart + minutes(40)).time_since_epoch().count());
}

TEST_CASE("a cancelled arrival obeys the rules of the standard as libical knows them") {
    auto event = event_at(kStart);
    event.cancelled = true;
    event.sequence = 2;
    const Component whole = parsed(notices::calendar_file(event));
    CHECK(errors_in(whole.get()) == 0);
    CHECK(icalrestriction_check(whole.get()) == 1);
    CHECK(icalcomponent_get_method(whole.get()) == ICAL_METHOD_CANCEL);
    icalcomponent* inner = icalcomponent_get_first_component(whole.get(), ICAL_VEVENT_COMPONENT);
    CHECK(icalcomponent_get_status(inner) == ICAL_STATUS_CANCELLED);
    CHECK(icalcomponent_get_sequence(inner) == 2);
}

TEST_CASE("libical would notice a missing organizer or a broken line") {
    std::string file = notices::calendar_file(event_at(kStart));
    const auto at = file.find("ORGANIZER");
    std::string without = file;
    without.erase(at, file.find("STATUS") - at);
    CHECK(icalrestriction_check(parsed(without).get()) == 0);
    file.replace(file.find("DTSTART:") + 8, 4, "late");
    CHECK(errors_in(parsed(file).get()) > 0);
}

TEST_CASE("any text comes back from libical and no line is over 75 octets") {
    std::mt19937 random(6);
    for (int round = 0; round < 400; ++round) {
        auto event = event_at(kStart);
        event.summary = random_text(random);
        event.description = random_text(random);
        event.location = random_text(random);
        event.organizer_name = random_text(random);
        const std::string file = notices::calendar_file(event);
        CAPTURE(round, file);
        for (const std::string& line : lines_of(file)) {
            REQUIRE(line.size() <= 75);
            REQUIRE(line.find_first_of("\r\n") == std::string::npos);
        }
        const Component whole = parsed(file);
        REQUIRE(errors_in(whole.get()) == 0);
        REQUIRE(icalrestriction_check(whole.get()) == 1);
        icalcomponent* inner = icalcomponent_get_first_component(whole.get(), ICAL_VEVENT_COMPONENT);
        REQUIRE(inner != nullptr);
        REQUIRE(std::string(icalcomponent_get_summary(inner)) == event.summary);
        REQUIRE(std::string(icalcomponent_get_description(inner)) == event.description);
        REQUIRE(std::string(icalcomponent_get_location(inner)) == event.location);
    }
}

TEST_CASE("folding never cuts a character") {
    auto event = event_at(kStart);
    for (std::size_t shift = 0; shift < 8; ++shift) {
        event.summary = std::string(shift, 'x');
        for (int i = 0; i < 60; ++i) event.summary += "🐍";
        for (const std::string& line : lines_of(notices::calendar_file(event)))
            CHECK((static_cast<unsigned char>(line[line.starts_with(' ') ? 1 : 0]) & 0xC0) != 0x80);
    }
}

TEST_CASE("a calendar file refuses control characters and what is not UTF-8") {
    auto event = event_at(kStart);
    event.summary = "a\rBEGIN:VALARM";
    CHECK_THROWS_AS(notices::calendar_file(event), UsageError);
    event.summary = "a\xff";
    CHECK_THROWS_AS(notices::calendar_file(event), UsageError);
}
