// Grammar: RFC 5321, 4.1.2 (Dot-string, Domain) and 4.5.3.1 (lengths).
#include "mildway/base/mail_address.hpp"

#include "catch.hpp"

#include <string>

using mildway::valid_address;

TEST_CASE("plain addresses are good") {
    for (const char* text : {"buyer-01@example.org", "a@b.example", "first.last+tag@mail.example.org",
                             "o'neil@example.org", "x_1=2@ex-ample.org", "A@EXAMPLE.ORG", "1@2.example"}) {
        CAPTURE(text);
        CHECK(valid_address(text));
    }
}

TEST_CASE("what is no bare address is refused") {
    for (const char* text : {"",
                             "@",
                             "a",
                             "a@",
                             "@b.example",
                             "a@b",
                             "a@@b.example",
                             "a@b@c.example",
                             "a b@c.example",
                             "a@c .example",
                             " a@b.example",
                             "a@b.example ",
                             "<a@b.example>",
                             "A <a@b.example>",
                             "a@b.example,c@d.example",
                             "a@b.example;c@d.example",
                             "\"a\"@b.example",
                             "a(b)@c.example",
                             ".a@b.example",
                             "a.@b.example",
                             "a..b@c.example",
                             "a@.b.example",
                             "a@b.example.",
                             "a@b..example",
                             "a@-b.example",
                             "a@b-.example",
                             "a@[127.0.0.1]",
                             "a@b_c.example",
                             "a:b@c.example",
                             "a\\b@c.example",
                             "j\xC3\xBCrgen@example.org",
                             "a@ex\xC3\xA4mple.org"}) {
        CAPTURE(text);
        CHECK_FALSE(valid_address(text));
    }
}

TEST_CASE("no control character passes anywhere in an address") {
    const std::string good = "buyer@example.org";
    for (int c = 0; c <= 32; ++c) {
        for (std::size_t at = 0; at <= good.size(); ++at) {
            std::string text = good;
            text.insert(at, 1, static_cast<char>(c));
            CAPTURE(c, at);
            CHECK_FALSE(valid_address(text));
        }
    }
    CHECK_FALSE(valid_address("buyer\x7F@example.org"));
}

TEST_CASE("lengths of an address are those of the standard") {
    const std::string host = "@example.org";
    CHECK(valid_address(std::string(64, 'a') + host));
    CHECK_FALSE(valid_address(std::string(65, 'a') + host));
    CHECK(valid_address("a@" + std::string(63, 'b') + ".example"));
    CHECK_FALSE(valid_address("a@" + std::string(64, 'b') + ".example"));
    std::string longest = "a@";
    while (longest.size() + 8 <= 254) longest += "bbbbbbb.";
    longest += std::string(254 - longest.size(), 'c');
    REQUIRE(longest.size() == 254);
    CHECK(valid_address(longest));
    CHECK_FALSE(valid_address(longest + "c"));
}
