// The starter's wording, and what is said of wording that cannot be filled.
#include "mildway/notices/templates.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/notices/letter_fields.hpp"

#include "catch.hpp"
#include "temp_workspace.hpp"

#include <algorithm>

using namespace mildway;
using namespace date::literals;
using notices::Kind;
using notices::Templates;

namespace {

/// A copy of the starter's messages to spoil.
struct Messages {
    testing::TempFolder folder;
    Messages() {
        std::filesystem::copy(
            MILDWAY_SOURCE_DIR "/config/messages", folder.path(),
            std::filesystem::copy_options::overwrite_existing | std::filesystem::copy_options::recursive);
    }
    void add(const std::string& file, const std::string& text) const {
        testing::spill(folder.path() / file, testing::slurp(folder.path() / file) + text);
    }
    [[nodiscard]] std::string complaint() const {
        try {
            (void)Templates::load(folder.path());
        } catch (const InputError& error) {
            return error.what();
        }
        return "";
    }
};

notices::Facts facts_of(Date day, bool held) {
    const Instant noon = date::sys_days(day) + hours(18);
    notices::Facts facts;
    facts.breeder = "Juniper Bench Herpetology";
    facts.answers_to = "orders@example.org";
    facts.buyer = "A <b>& \"B\"\nBcc: x";
    facts.order = "JB-1041";
    facts.animals = "1 x corn snake";
    facts.group = "snake";
    facts.safe_from = "55 °F";
    facts.safe_to = "86 °F";
    facts.room_from = "68 °F";
    facts.room_to = "75 °F";
    facts.without_water_h = 72;
    facts.place = {"Duluth MN", 46.7867, -92.1005, "America/Chicago"};
    facts.days = {day};
    facts.arrival = notices::Arrival{
        day, day, std::nullopt, noon, held, std::nullopt, "Northline Parcel", "Night", false, false};
    facts.told_day = Date(date::sys_days(day) - date::days(1));
    facts.box = notices::BoxFacts{noon - hours(20), std::nullopt};
    return facts;
}

}  // namespace

TEST_CASE("the starter's messages are sound") {
    const Messages messages;
    CHECK(messages.complaint().empty());
}

TEST_CASE("every message names its order and its sender and promises nothing") {
    const Templates templates = Templates::load(MILDWAY_SOURCE_DIR "/config/messages");
    for (const Kind kind : notices::all_kinds()) {
        for (const bool held : {false, true}) {
            CAPTURE(notices::kind_name(kind), held);
            const auto facts = facts_of(2027_y / 3 / 2, held);
            const auto letter =
                templates.letter(kind, notices::fields_of(kind, facts, facts.box->packed + hours(30)));
            CHECK_THAT(letter.subject, Catch::Contains("JB-1041"));
            for (const std::string& text : {letter.text, letter.html}) {
                CHECK_THAT(text, Catch::Contains("orders@example.org"));
                CHECK_THAT(text, Catch::Contains("nobody can promise"));
                CHECK_THAT(text, Catch::Contains("your vet"));
                CHECK(text.find("{{") == std::string::npos);
                CHECK(text.find("guarantee") == std::string::npos);
            }
            CHECK(letter.html.find("<img") == std::string::npos);
            CHECK(letter.html.find("http") == std::string::npos);
        }
    }
}

TEST_CASE("a buyer's name is text in HTML and stands on one line") {
    const Templates templates = Templates::load(MILDWAY_SOURCE_DIR "/config/messages");
    const auto letter = templates.letter(
        Kind::date, notices::fields_of(Kind::date, facts_of(2027_y / 3 / 2, false), Instant{}));
    CHECK_THAT(letter.html, Catch::Contains("Hello A &lt;b&gt;&amp; &quot;B&quot; Bcc: x,"));
    CHECK_THAT(letter.text, Catch::Contains("Hello A <b>& \"B\" Bcc: x,\n"));
}

TEST_CASE("lines of text are at most 72 characters") {
    const Templates templates = Templates::load(MILDWAY_SOURCE_DIR "/config/messages");
    for (const Kind kind : notices::all_kinds()) {
        std::istringstream lines(templates.letter(kind, notices::example_fields(kind)).text);
        for (std::string line; std::getline(lines, line);) CHECK(line.size() <= 76);  // "°" is two bytes
    }
}

TEST_CASE("a kind has the same fields whatever the facts") {
    for (const Kind kind : notices::all_kinds()) {
        const auto known = notices::example_fields(kind);
        const auto fields = notices::fields_of(kind, facts_of(2027_y / 7 / 4, false), Instant{});
        const auto names = [](const auto& map) {
            std::vector<std::string> all;
            for (const auto& entry : map) all.push_back(entry.first);
            return all;
        };
        CHECK(names(known.texts) == names(fields.texts));
        CHECK(names(known.flags) == names(fields.flags));
        CHECK(names(known.lists) == names(fields.lists));
    }
}

TEST_CASE("times are told on the buyer's clock with its zone") {
    const auto winter = notices::fields_of(Kind::date, facts_of(2027_y / 3 / 2, false), Instant{});
    CHECK(winter.texts.at("arrival_by") == "12:00");
    CHECK(winter.texts.at("clock") == "CST, the clock of Duluth MN");
    CHECK(winter.texts.at("arrival_day") == "Tuesday, 2 March 2027");
    const auto summer = notices::fields_of(Kind::date, facts_of(2027_y / 7 / 4, false), Instant{});
    CHECK(summer.texts.at("arrival_by") == "13:00");
    CHECK(summer.texts.at("clock") == "CDT, the clock of Duluth MN");
}

TEST_CASE("a field that a message does not have is named with file and line") {
    const Messages messages;
    messages.add("date.txt.mustache", "\n{{arival_day}}\n");
    CHECK_THAT(messages.complaint(), Catch::Contains("date.txt.mustache:") &&
                                         Catch::Contains("no field is called 'arival_day'") &&
                                         Catch::Contains("did you mean 'arrival_day'"));
}

TEST_CASE("a field is missed also where a section would hide it") {
    const Messages messages;
    messages.add("window.html.mustache", "{{#several}}{{arrival_day}}{{/several}}");
    CHECK_THAT(messages.complaint(),
               Catch::Contains("window.html.mustache") && Catch::Contains("'arrival_day'"));
}

TEST_CASE("a fault in a shared part is told with the part's name") {
    const Messages messages;
    messages.add("foot.txt.mustache", "{{nobody}}");
    CHECK_THAT(messages.complaint(), Catch::Contains("foot.txt.mustache") && Catch::Contains("'nobody'"));
}

TEST_CASE("broken tags are told with file and line") {
    const std::vector<std::pair<std::string, std::string>> faults{
        {"{{#held}} open", "never closes it"},
        {"{{/held}}", "is not open"},
        {"{{#held}}{{#several}}{{/held}}{{/several}}", "is to be closed first"},
        {"{{#nothing}}{{/nothing}}", "no yes-or-no field or list is called 'nothing'"},
        {"{{{buyer}}}", "let text in as it is"},
        {"{{& buyer}}", "let text in as it is"},
        {"{{=<% %>=}}", "let text in as it is"},
        {"{{buyer", "without '}}'"},
        {"{{}}", "without a name"},
        {"{{> none}}", "there is no file none.html.mustache"}};
    for (const auto& [text, words] : faults) {
        CAPTURE(text);
        const Messages messages;
        messages.add("date.html.mustache", "\n" + text);
        CHECK_THAT(messages.complaint(), Catch::Contains("date.html.mustache") && Catch::Contains(words));
    }
}

TEST_CASE("a part that includes itself is told") {
    const Messages messages;
    messages.add("foot.txt.mustache", "{{> foot}}");
    CHECK_THAT(messages.complaint(),
               Catch::Contains("foot.txt.mustache") && Catch::Contains("includes itself"));
}

TEST_CASE("a missing file and a missing folder are told") {
    const Messages messages;
    std::filesystem::remove(messages.folder.path() / "delay.html.mustache");
    CHECK_THAT(messages.complaint(),
               Catch::Contains("delay.html.mustache") && Catch::Contains("no such file"));
    CHECK_THROWS_AS(Templates::load("/nowhere/messages"), InputError);
}

TEST_CASE("a text without a subject is told") {
    const Messages messages;
    testing::spill(messages.folder.path() / "delay.txt.mustache", "Hello\n");
    CHECK_THAT(messages.complaint(),
               Catch::Contains("delay.txt.mustache") && Catch::Contains("'Subject: ...'"));
}

TEST_CASE("after a hand-over on another day no message tells the planned arrival or a warmer's time") {
    const Templates templates = Templates::load(MILDWAY_SOURCE_DIR "/config/messages");
    for (const bool held : {false, true}) {
        auto facts = facts_of(2027_y / 3 / 2, held);
        facts.arrival->off_plan = true;
        facts.arrival->ship_day = 2027_y / 3 / 5;
        for (const Kind kind : {Kind::handed_over, Kind::receive, Kind::delay}) {
            CAPTURE(notices::kind_name(kind), held);
            const auto letter =
                templates.letter(kind, notices::fields_of(kind, facts, facts.box->packed + hours(30)));
            for (const std::string& text : {letter.subject, letter.text, letter.html}) {
                CHECK_THAT(text, !Catch::Contains("2 March") && !Catch::Contains("12:00"));
                CHECK_THAT(text, !Catch::Contains(" ,") && !Catch::Contains("promised by"));
            }
            if (kind != Kind::receive) CHECK_THAT(letter.text, Catch::Contains("Friday, 5 March 2027"));
        }
    }
}

TEST_CASE("a window that offers the told day again does not say that it no longer holds") {
    const Templates templates = Templates::load(MILDWAY_SOURCE_DIR "/config/messages");
    auto facts = facts_of(2027_y / 3 / 2, false);
    facts.told_day = 2027_y / 3 / 2;
    const auto text = [&] {
        return templates.letter(Kind::window, notices::fields_of(Kind::window, facts, Instant{})).text;
    };
    CHECK_THAT(text(), Catch::Contains("open again") && !Catch::Contains("no longer holds"));
    facts.days = {2027_y / 3 / 3};
    CHECK_THAT(text(), Catch::Contains("no longer holds") && !Catch::Contains("open again"));
}

TEST_CASE("hot amphibians are kept out of moving air") {
    const Templates templates = Templates::load(MILDWAY_SOURCE_DIR "/config/messages");
    for (const std::string group : {"frog", "salamander", "snake"}) {
        auto facts = facts_of(2027_y / 3 / 2, false);
        facts.group = group;
        const auto letter =
            templates.letter(Kind::receive, notices::fields_of(Kind::receive, facts, Instant{}));
        CAPTURE(group);
        for (const std::string& text : {letter.text, letter.html}) {
            CHECK((text.find("shade and moving air") == std::string::npos) == (group != "snake"));
            CHECK((text.find("upright") == std::string::npos) == (group == "snake"));
        }
    }
}

TEST_CASE("a section on lines of its own leaves no empty line whether shown or not") {
    const Templates templates = Templates::load(MILDWAY_SOURCE_DIR "/config/messages");
    for (const bool held : {false, true}) {
        const auto facts = facts_of(2027_y / 3 / 2, held);
        const auto text =
            templates.letter(Kind::receive, notices::fields_of(Kind::receive, facts, Instant{})).text;
        CHECK_THAT(text,
                   Catch::Contains(held ? "When it comes:\n- Collect it" : "When it comes:\n- Take it in"));
        CHECK_THAT(text, Catch::Contains("eaten.\n- Put it into"));
        CHECK_THAT(text, Catch::Contains("\n\nOpening it:\n"));
    }
}

TEST_CASE("the time of packing stands with the clock of its own day") {
    const Templates templates = Templates::load(MILDWAY_SOURCE_DIR "/config/messages");
    auto facts = facts_of(2027_y / 3 / 15, false);  // summer time begins on 14 March
    facts.box->packed = date::sys_days(2027_y / 3 / 11) + hours(22) + minutes(10);
    const auto letter =
        templates.letter(Kind::delay, notices::fields_of(Kind::delay, facts, facts.arrival->promised));
    std::string text = letter.text;
    std::replace(text.begin(), text.end(), '\n', ' ');
    CHECK_THAT(text, Catch::Contains("closed about Thursday, 11 March 2027, 16:10 (CST,"));
    CHECK_THAT(text, Catch::Contains("(CDT, the clock of"));
}
