// mail.json: what is taken, and what is said of what is not.
#include "mildway/notices/mail_settings.hpp"

#include "mildway/base/errors.hpp"

#include "catch.hpp"

#include <nlohmann/json.hpp>

using namespace mildway;
using nlohmann::json;
using notices::MailSettings;

namespace {

json good() {
    return {{"from_name", "Juniper Bench"}, {"from_address", "orders@example.org"},
            {"host", "smtp.example.org"},   {"port", 587},
            {"security", "starttls"},       {"user", "orders"},
            {"password_file", "password"}};
}

MailSettings read(const json& text) {
    return MailSettings::read(ConfigNode::parse("mail.json", text.dump()), "/shop");
}

std::string complaint(const std::string& key, const json& value) {
    json text = good();
    text[key] = value;
    try {
        (void)read(text);
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

}  // namespace

TEST_CASE("mail settings are read and files lie beside them") {
    const MailSettings mail = read(good());
    CHECK(mail.password_file == "/shop/password");
    CHECK(mail.answers_to() == "orders@example.org");
    CHECK(mail.security == notices::Security::starttls);
    json more = good();
    more["reply_to"] = "office@example.org";
    more["password_file"] = "/run/secrets/mail";
    CHECK(read(more).answers_to() == "office@example.org");
    CHECK(read(more).password_file == "/run/secrets/mail");
}

TEST_CASE("the starter's mail settings are sound") {
    CHECK(MailSettings::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/mail.json"), "/shop").user.empty());
}

TEST_CASE("mail in the clear is for this computer alone") {
    CHECK_THAT(complaint("security", "none-local-only"),
               Catch::Contains("/security") && Catch::Contains("localhost"));
    for (const char* host : {"127.evil.example.org", "localhost.example.org", "10.0.0.1"}) {
        json text = good();
        text["security"] = "none-local-only";
        text["host"] = host;
        CHECK_THROWS_AS(read(text), InputError);
    }
    for (const char* host : {"localhost", "127.0.0.1", "::1"}) {
        json text = good();
        text["security"] = "none-local-only";
        text["host"] = host;
        CHECK(read(text).host == host);
    }
}

TEST_CASE("wrong mail settings are told by field") {
    CHECK_THAT(complaint("from_address", "Name <orders@example.org>"), Catch::Contains("/from_address"));
    CHECK_THAT(complaint("from_name", "a\r\nBcc: b"), Catch::Contains("/from_name"));
    CHECK_THAT(complaint("from_name", ""), Catch::Contains("/from_name"));
    CHECK_THAT(complaint("host", "smtp.example.org/path"), Catch::Contains("/host"));
    CHECK_THAT(complaint("host", "smtp.example.org@evil"), Catch::Contains("/host"));
    CHECK_THAT(complaint("port", 0), Catch::Contains("/port"));
    CHECK_THAT(complaint("security", "none"), Catch::Contains("/security"));
    CHECK_THAT(complaint("reply_to", "x"), Catch::Contains("/reply_to"));
    CHECK_THAT(complaint("pasword", "x"), Catch::Contains("/pasword"));
    CHECK_THAT(complaint("password_file", nullptr), Catch::Contains("/password_file"));
}
