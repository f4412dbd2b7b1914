// Sending to a real mail server on this computer, with the faults of real ones.
#include "mildway/base/errors.hpp"
#include "mildway/notices/sender.hpp"

#include "catch.hpp"
#include "smtp_sink.hpp"

using namespace mildway;
using notices::Delivery;
using notices::Fate;
using testing::SmtpSink;

namespace {

const std::string kMail = "Subject: x\r\n\r\n.\r\n..two dots\r\nthe end\r\n";

notices::MailSettings settings_for(const SmtpSink& sink) {
    notices::MailSettings mail;
    mail.from_address = "orders@example.org";
    mail.host = "localhost";
    mail.port = sink.port();
    mail.security = notices::Security::none_local_only;
    mail.answer_timeout_s = 20;
    return mail;
}

struct Tried {
    Delivery delivery;
    int on_wire = 0;
};

Tried try_send(const notices::MailSettings& mail) {
    Tried tried;
    tried.delivery =
        notices::smtp_sender(mail)->send({"buyer-01@example.org", kMail}, [&] { ++tried.on_wire; });
    return tried;
}

Tried try_with(const std::vector<std::string>& options) {
    const SmtpSink sink(options);
    return try_send(settings_for(sink));
}

}  // namespace

TEST_CASE("a server is given the very bytes, dots and all") {
    const SmtpSink sink;
    const Tried tried = try_send(settings_for(sink));
    CHECK(tried.delivery.fate == Fate::taken);
    CHECK(tried.delivery.reply == "250 kept as 1");
    CHECK(tried.on_wire == 1);
    const auto taken = sink.taken();
    REQUIRE(taken.size() == 1);
    CHECK(taken[0].from == "orders@example.org");
    CHECK(taken[0].to == "buyer-01@example.org");
    CHECK(taken[0].bytes == kMail);
}

TEST_CASE("a large message is given whole and announced once") {
    const SmtpSink sink;
    std::string large = "Subject: x\r\n\r\n";
    for (int i = 0; i < 20000; ++i) large += ".line\r\n";
    int on_wire = 0;
    const auto sender = notices::smtp_sender(settings_for(sink));
    CHECK(sender->send({"buyer-01@example.org", large}, [&] { ++on_wire; }).fate == Fate::taken);
    CHECK(on_wire == 1);
    REQUIRE(sink.taken().size() == 1);
    CHECK(sink.taken()[0].bytes == large);
}

TEST_CASE("what a server says of a recipient decides") {
    const Tried never = try_with({"rcpt=550 no such user"});
    CHECK(never.delivery.fate == Fate::refused);
    CHECK(never.delivery.reply == "550 no such user");
    CHECK(never.on_wire == 0);
    const Tried later = try_with({"rcpt=450 try later"});
    CHECK(later.delivery.fate == Fate::not_now);
    CHECK(later.on_wire == 0);
}

TEST_CASE("what a server says before the text decides and nothing is on the wire") {
    const Tried later = try_with({"data=452 full"});
    CHECK(later.delivery.fate == Fate::not_now);
    CHECK(later.on_wire == 0);
    const Tried never = try_with({"data=554 no"});
    CHECK(never.delivery.fate == Fate::refused);
    CHECK(never.on_wire == 0);
}

TEST_CASE("what a server says after the text decides") {
    const Tried never = try_with({"text=554 spam"});
    CHECK(never.delivery.fate == Fate::refused);
    CHECK(never.delivery.reply == "554 spam");
    CHECK(never.on_wire == 1);
    CHECK(try_with({"text=451 later"}).delivery.fate == Fate::not_now);
}

TEST_CASE("a server that falls silent after the text leaves a doubt") {
    const SmtpSink sink({"silent=yes"});
    auto mail = settings_for(sink);
    mail.answer_timeout_s = 3;
    const Tried tried = try_send(mail);
    CHECK(tried.delivery.fate == Fate::in_doubt);
    CHECK(tried.on_wire == 1);
}

TEST_CASE("a connection lost in or after the text leaves a doubt") {
    CHECK(try_with({"drop=in-text"}).delivery.fate == Fate::in_doubt);
    CHECK(try_with({"hang-up=yes"}).delivery.fate == Fate::in_doubt);
}

TEST_CASE("a server that does not want the sender is no server for any message") {
    const Tried tried = try_with({"mail=550 who are you"});
    CHECK(tried.delivery.fate == Fate::no_server);
    CHECK(tried.on_wire == 0);
    CHECK(try_with({"mail=451 later"}).delivery.fate == Fate::not_now);
}

TEST_CASE("without a server nothing is on the wire") {
    notices::MailSettings mail;
    {
        const SmtpSink sink;
        mail = settings_for(sink);
    }
    const Tried tried = try_send(mail);
    CHECK(tried.delivery.fate == Fate::no_server);
    CHECK(tried.on_wire == 0);
    CHECK_FALSE(tried.delivery.reply.empty());
}

TEST_CASE("when the mark on the wire cannot be written no byte is handed over") {
    const SmtpSink sink;
    const auto sender = notices::smtp_sender(settings_for(sink));
    CHECK_THROWS_AS(sender->send({"buyer-01@example.org", kMail},
                                 []() -> void { throw SystemError("the disk is full"); }),
                    SystemError);
    CHECK(sink.taken().empty());
}

TEST_CASE("a certificate that nobody vouches for is refused") {
    for (const auto security : {notices::Security::tls, notices::Security::starttls}) {
        const testing::OwnCertificate own;
        auto options = own.options();
        if (security == notices::Security::tls) options.emplace_back("tls=from-start");
        const SmtpSink sink(options);
        auto mail = settings_for(sink);
        mail.security = security;
        const Tried tried = try_send(mail);
        CHECK(tried.delivery.fate == Fate::no_server);
        CHECK_THAT(tried.delivery.reply, Catch::Contains("certificate"));
        CHECK(sink.taken().empty());
    }
}

TEST_CASE("a certificate that is trusted by name opens both kinds of TLS") {
    for (const auto security : {notices::Security::tls, notices::Security::starttls}) {
        const testing::OwnCertificate own;
        auto options = own.options();
        if (security == notices::Security::tls) options.emplace_back("tls=from-start");
        const SmtpSink sink(options);
        auto mail = settings_for(sink);
        mail.security = security;
        mail.ca_file = own.file();
        CHECK(try_send(mail).delivery.fate == Fate::taken);
        REQUIRE(sink.taken().size() == 1);
        CHECK(sink.taken()[0].bytes == kMail);
    }
}

TEST_CASE("a server without STARTTLS is given nothing") {
    const SmtpSink sink;
    auto mail = settings_for(sink);
    mail.security = notices::Security::starttls;
    const Tried tried = try_send(mail);
    CHECK(tried.delivery.fate == Fate::no_server);
    CHECK(tried.on_wire == 0);
    CHECK(sink.taken().empty());
}

TEST_CASE("a login is made with the password of the file and a wrong one tells nothing of it") {
    const testing::OwnCertificate own;
    auto options = own.options();
    options.insert(options.end(), {"user=orders", "password=pass word & 1"});
    const SmtpSink sink(options);
    const testing::TempFolder folder;
    auto mail = settings_for(sink);
    mail.security = notices::Security::starttls;
    mail.ca_file = own.file();
    mail.user = "orders";
    mail.password_file = folder.path() / "password";
    testing::spill(mail.password_file, "pass word & 1\n");
    std::filesystem::permissions(mail.password_file, std::filesystem::perms::owner_read);
    CHECK(try_send(mail).delivery.fate == Fate::taken);
    std::filesystem::permissions(mail.password_file, std::filesystem::perms::owner_all);
    testing::spill(mail.password_file, "not-this-one\n");
    const Tried wrong = try_send(mail);
    CHECK(wrong.delivery.fate == Fate::no_server);
    CHECK(wrong.on_wire == 0);
    CHECK(wrong.delivery.reply.find("not-this-one") == std::string::npos);
    CHECK(sink.taken().size() == 1);
}

TEST_CASE("a password that others can read is not used") {
    const SmtpSink sink;
    const testing::TempFolder folder;
    auto mail = settings_for(sink);
    mail.user = "orders";
    mail.password_file = folder.path() / "password";
    testing::spill(mail.password_file, "secret-words\n");
    std::filesystem::permissions(mail.password_file, std::filesystem::perms(0644));
    CHECK_THROWS_AS(notices::smtp_sender(mail), InputError);
}

TEST_CASE("an address that would add a line to the talk is refused before it") {
    const SmtpSink sink;
    const auto sender = notices::smtp_sender(settings_for(sink));
    CHECK_THROWS_AS(sender->send({"a@example.org>\r\nRCPT TO:<evil@example.org", kMail}, [] {}), UsageError);
}
