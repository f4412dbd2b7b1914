// The bytes of a mail, read back by Python's email package, an independent reader.
#include "mildway/notices/mail.hpp"

#include "mildway/base/errors.hpp"

#include "catch.hpp"
#include "smtp_sink.hpp"

#include <random>

using namespace mildway;
using namespace date::literals;
using nlohmann::json;

namespace {

notices::Mail plain_mail() {
    notices::Mail mail;
    mail.from_name = "Juniper Bench Herpetology";
    mail.from_address = "orders@example.org";
    mail.to_name = "Example Buyer";
    mail.to_address = "buyer-01@example.org";
    mail.subject = "Arriving Tuesday, 2 March 2027: order JB-1041";
    mail.date = date::sys_days(2027_y / 3 / 1) + hours(13);
    mail.message_id = "order-1-20270225T080000Z.date.1@example.org";
    mail.text = "Hello,\n\nit comes.\n";
    mail.html = "<p>Hello</p>\n";
    return mail;
}

notices::Mail with_calendar() {
    notices::Mail mail = plain_mail();
    mail.calendar =
        notices::CalendarPart{"PUBLISH", "BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n", "order-JB-1041.ics"};
    return mail;
}

json read_back(const std::string& bytes) {
    const testing::TempFolder folder;
    const auto file = folder.path() / "one.eml";
    testing::spill(file, bytes);
    return json::parse(testing::output_of(
        "/usr/bin/python3 " MILDWAY_SOURCE_DIR "/tests/support/read_mail.py " + file.string()));
}

std::string header_of(const json& mail, const std::string& name) {
    std::string value;
    int count = 0;
    for (const auto& header : mail.at("headers")) {
        if (header.at(0) != name) continue;
        value = header.at(1).get<std::string>();
        ++count;
    }
    CHECK(count == 1);
    return value;
}

std::string part_text(const json& mail, const std::string& type) {
    for (const auto& part : mail.at("parts")) {
        if (part.at("type") == type) return part.at("text");
    }
    return "(none)";
}

/// As RFC 5322 wants lines in a mail.
std::string crlf(const std::string& text) {
    std::string out;
    for (const char c : text) out += c == '\n' ? std::string("\r\n") : std::string(1, c);
    return out;
}

json one_address(const std::string& name, const std::string& address) {
    return json::array({json::array({name, address})});
}

void check_lines(const std::string& bytes) {
    for (std::size_t at = 0; at < bytes.size();) {
        const auto end = bytes.find("\r\n", at);
        REQUIRE(end != std::string::npos);
        CHECK(end - at <= 78);
        const std::string line = bytes.substr(at, end - at);
        CHECK(line.find_first_of("\r\n") == std::string::npos);
        CHECK(std::all_of(line.begin(), line.end(),
                          [](char c) { return static_cast<unsigned char>(c) < 0x80; }));
        at = end + 2;
    }
}

}  // namespace

TEST_CASE("a mail with a calendar reads back whole") {
    const auto mail = read_back(notices::mail_bytes(with_calendar()));
    CHECK(mail.at("defects").empty());
    CHECK(header_of(mail, "Subject") == "Arriving Tuesday, 2 March 2027: order JB-1041");
    CHECK(header_of(mail, "Date") == "Mon, 01 Mar 2027 13:00:00 +0000");
    CHECK(header_of(mail, "Message-ID") == "<order-1-20270225T080000Z.date.1@example.org>");
    CHECK(header_of(mail, "MIME-Version") == "1.0");
    CHECK(mail.at("to") == one_address("Example Buyer", "buyer-01@example.org"));
    CHECK(mail.at("from") == one_address("Juniper Bench Herpetology", "orders@example.org"));
    std::vector<std::string> types;
    for (const auto& part : mail.at("parts")) types.push_back(part.at("type"));
    CHECK(types == std::vector<std::string>{"multipart/mixed", "multipart/alternative", "text/plain",
                                            "text/html", "text/calendar", "text/calendar"});
    CHECK(mail.at("parts").at(4).at("method") == "PUBLISH");
    CHECK(mail.at("parts").at(5).at("method") == "PUBLISH");
    CHECK(mail.at("parts").at(5).at("name") == "order-JB-1041.ics");
    CHECK(mail.at("parts").at(5).at("disposition") == "attachment");
    for (const std::size_t i : {4U, 5U})
        CHECK(mail.at("parts").at(i).at("text") == "BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n");
    CHECK(part_text(mail, "text/plain") == crlf("Hello,\n\nit comes.\n"));
}

TEST_CASE("a mail without a calendar has two readings") {
    const auto mail = read_back(notices::mail_bytes(plain_mail()));
    CHECK(mail.at("defects").empty());
    CHECK(mail.at("parts").size() == 3);
    CHECK(mail.at("parts").at(0).at("type") == "multipart/alternative");
}

TEST_CASE("names and subjects of any language read back") {
    const std::vector<std::string> texts{"Jürgen Müller",
                                         "O'Brien, \"Mac\" (x)",
                                         "漢字🐍",
                                         "a=?utf-8?q?b?=",
                                         "Dots. and; semis",
                                         "back\\slash",
                                         std::string(200, 'x'),
                                         std::string("two  blanks"),
                                         std::string(30, 'y') + " ü " + std::string(90, 'z') + " end"};
    for (const std::string& text : texts) {
        CAPTURE(text);
        auto given = plain_mail();
        given.to_name = text;
        given.from_name = text;
        given.subject = text;
        const std::string bytes = notices::mail_bytes(given);
        check_lines(bytes);
        const auto mail = read_back(bytes);
        CHECK(mail.at("defects").empty());
        CHECK(header_of(mail, "Subject") == text);
        CHECK(mail.at("to") == one_address(text, "buyer-01@example.org"));
        CHECK(mail.at("from") == one_address(text, "orders@example.org"));
    }
}

TEST_CASE("bodies of any text read back") {
    std::mt19937 random(11);
    const std::vector<std::string> pieces{".",
                                          "..",
                                          "\n",
                                          "\n.\n",
                                          "From ",
                                          "From me\n",
                                          "=",
                                          "=3D",
                                          " ",
                                          " \n",
                                          "\t\n",
                                          "ü",
                                          "🐍",
                                          std::string(300, 'w'),
                                          "--=_mildway_mixed--\n",
                                          "Bcc: x@example.org\n"};
    for (int round = 0; round < 25; ++round) {
        auto given = with_calendar();
        given.text.clear();
        for (int i = 0; i < 60; ++i) given.text += pieces[random() % pieces.size()];
        given.html = "<p>" + given.text + "</p>";
        CAPTURE(round, given.text);
        const std::string bytes = notices::mail_bytes(given);
        check_lines(bytes);
        const auto mail = read_back(bytes);
        CHECK(mail.at("defects").empty());
        const std::string end = given.text.ends_with('\n') ? "" : "\r\n";
        CHECK(part_text(mail, "text/plain") == crlf(given.text) + end);
        CHECK(part_text(mail, "text/html") == crlf(given.html) + "\r\n");
    }
}

TEST_CASE("no line of a body begins with a dot or with From") {
    auto given = plain_mail();
    given.text = ".\n..\nFrom here\n" + std::string(75, 'x') + "." + std::string(74, 'y') + ".z\n";
    const std::string bytes = notices::mail_bytes(given);
    CHECK(bytes.find("\r\n.") == std::string::npos);
    CHECK(bytes.find("\r\nFrom ") == std::string::npos);
    CHECK(part_text(read_back(bytes), "text/plain") == crlf(given.text));
}

TEST_CASE("the same mail is the same bytes") {
    CHECK(notices::mail_bytes(with_calendar()) == notices::mail_bytes(with_calendar()));
}

TEST_CASE("a boundary is in no part, also when a text holds its very line") {
    auto given = with_calendar();
    const std::string first = notices::mail_bytes(given);
    for (std::size_t at = first.find("boundary=\""); at != std::string::npos;
         at = first.find("boundary=\"", at + 1)) {
        const std::string boundary = first.substr(at + 10, first.find('"', at + 10) - at - 10);
        CAPTURE(boundary);
        given.text = "before\n--" + boundary + "\nContent-Type: text/plain\n\n--" + boundary + "--\nafter\n";
        const auto mail = read_back(notices::mail_bytes(given));
        CHECK(mail.at("parts").size() == 6);
        CHECK(part_text(mail, "text/plain") == crlf(given.text));
    }
}

TEST_CASE("a header takes no control character") {
    for (const std::string& bad :
         std::vector<std::string>{"a\r\nBcc: evil@example.org", "a\nb", "a\rb", std::string("a\0b", 3),
                                  std::string("\x7f"), std::string("tab\there")}) {
        CAPTURE(bad);
        for (auto field : {&notices::Mail::subject, &notices::Mail::to_name, &notices::Mail::from_name}) {
            auto given = plain_mail();
            given.*field = bad;
            CHECK_THROWS_AS(notices::mail_bytes(given), UsageError);
        }
    }
    auto given = plain_mail();
    given.subject = "not UTF-8 \xff";
    CHECK_THROWS_AS(notices::mail_bytes(given), UsageError);
}

TEST_CASE("a header takes no address that is none") {
    for (const std::string& bad :
         std::vector<std::string>{"", "a", "a@b>\r\nRCPT TO:<evil@example.org",
                                  "a@example.org, b@example.org", "a b@example.org", "<a@example.org>"}) {
        CAPTURE(bad);
        for (auto field :
             {&notices::Mail::to_address, &notices::Mail::from_address, &notices::Mail::message_id}) {
            auto given = plain_mail();
            given.*field = bad;
            CHECK_THROWS_AS(notices::mail_bytes(given), UsageError);
        }
    }
}

TEST_CASE("the name of an attachment is plain whatever the order is called") {
    auto given = with_calendar();
    given.calendar->file_name = "order-a/b \"ü\"\r\n.ics";
    const auto mail = read_back(notices::mail_bytes(given));
    CHECK(mail.at("defects").empty());
    CHECK(mail.at("parts").at(5).at("name") == "order-a-b-------.ics");
}
