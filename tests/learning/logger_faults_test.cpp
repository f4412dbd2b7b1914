// What is refused, and what is passed over and told.
#include "box_fixtures.hpp"
#include "catch.hpp"
#include "logger_texts.hpp"

#include <fmt/format.h>

using namespace mildway;
using testing::complaint;
using testing::findings_of;
using testing::in_denver;
using testing::read;
using testing::temps_of;

namespace {

/// A log of a reading each minute from 13:00.
std::string minutes_of(const std::vector<std::string>& cells, const std::string& header = "Time,Temp (C)") {
    std::string text = header + "\n";
    int minute = 0;
    for (const auto& cell : cells) text += fmt::format("2027-03-01 13:{:02},{}\n", minute++, cell);
    return text;
}

}  // namespace

TEST_CASE("logger file that is empty is refused") {
    CHECK(complaint("") == "log.csv: is empty; expected a table with a header");
}

TEST_CASE("logger file with a header alone is refused") {
    CHECK(complaint("Time,Temp (C)\n") == "log.csv: has a header and no readings");
}

TEST_CASE("logger file without a header is refused") {
    CHECK_THAT(complaint("2027-03-01 13:00,20\n2027-03-01 13:01,20\n"),
               Catch::StartsWith("log.csv: has no header within its first 60 lines"));
}

TEST_CASE("logger file without a temperature is refused with its columns") {
    CHECK(complaint("Time,Value,Dew point (C)\n2027-03-01 13:00,20,3\n") ==
          "log.csv:1: has the columns 'Time', 'Value', 'Dew point (C)', none of which is named as a "
          "temperature; name "
          "one with --inside-column");
}

TEST_CASE("logger cell that is not a number is refused with line and column") {
    CHECK(complaint(minutes_of({"20", "warm"})) == "log.csv:3: 'warm' in column 'Temp (C)' is not a number");
    CHECK(complaint(minutes_of({"20", "inf"})) == "log.csv:3: 'inf' in column 'Temp (C)' is not a number");
}

TEST_CASE("logger cells without a value are passed over and told") {
    const auto log = read(minutes_of({"20", "NaN", "---", "", "n/a", "21"}));
    CHECK(temps_of(*log.inside) == std::vector<double>{20, 21});
    CHECK_THAT(findings_of(log), Catch::Contains("4 of 6 cells of the column 'Temp (C)' hold no value"));
}

TEST_CASE("logger column without any value is refused") {
    CHECK(complaint(minutes_of({"---", "---"})) == "log.csv: the column 'Temp (C)' holds no values");
}

TEST_CASE("logger time that cannot be read is refused with its line") {
    CHECK_THAT(complaint("Time,Temp (C)\n2027-03-01 13:00,20\nyesterday,20\n"),
               Catch::StartsWith("log.csv:3: 'yesterday' is no date and time"));
    CHECK_THAT(complaint("Time,Temp (C)\n2027-03-01 13:61,20\n"),
               Catch::StartsWith("log.csv:2: '2027-03-01 13:61'"));
    CHECK_THAT(complaint("Time,Temp (C)\n2027-02-30 13:00,20\n"),
               Catch::StartsWith("log.csv:2: has a date that is not in the calendar"));
    CHECK_THAT(complaint("Time,Temp (C)\n13/13/2027 13:00,20\n"),
               Catch::StartsWith("log.csv:2: has a date that is not in the calendar"));
    CHECK_THAT(complaint("Time,Temp (C)\n27-03-01 13:00,20\n"),
               Catch::StartsWith("log.csv:2: '27-03-01 13:00'"));
}

TEST_CASE("logger years of a clock that was never set are refused") {
    CHECK(complaint("Time,Temp (C)\n1970-01-01 00:00,20\n") ==
          "log.csv:2: is of the year 1970; expected 2000 to 2099: was the logger's clock set?");
    CHECK(complaint("unix,Temp (C)\n12,20\n") ==
          "log.csv:2: is at 12 s since 1970; expected a time of the years 2000 to 2099: was the logger's "
          "clock set?");
    // 65536 years later a calendar of 16 bits would be back in 2027
    CHECK_THAT(complaint("unix,Temp (C)\n2070017568000000,20\n"), Catch::Contains("is no time"));
    CHECK_THAT(complaint("unix,Temp (C)\n99999999999,20\n"), Catch::Contains("expected a time of the years"));
}

TEST_CASE("logger lines that repeat the one before are passed over and told") {
    const auto log = read("Time,Temp (C)\n2027-03-01 13:00,20\n2027-03-01 13:00,20\n2027-03-01 13:01,21\n");
    CHECK(temps_of(*log.inside) == std::vector<double>{20, 21});
    CHECK_THAT(findings_of(log), Catch::Contains("1 line repeats the one before"));
}

TEST_CASE("logger time with two values is refused") {
    CHECK(complaint("Time,Temp (C)\n2027-03-01 13:00,20\n2027-03-01 13:00,21\n") ==
          "log.csv:3: has the time of line 2 with another value; expected one value for each time");
}

TEST_CASE("logger times out of order are refused") {
    CHECK(complaint("Time,Temp (C)\n2027-03-01 13:00,20\n2027-03-01 13:02,20\n2027-03-01 13:01,21\n") ==
          "log.csv:4: is earlier than line 3 by 1.0 minutes; expected times in order");
}

TEST_CASE("logger times some of which have a zone are refused") {
    CHECK_THAT(complaint("Time,Temp (C)\n2027-03-01T13:00Z,20\n2027-03-01T13:01,20\n"),
               Catch::StartsWith("log.csv:3: has a time without a zone"));
}

TEST_CASE("logger gaps of more than three intervals are told") {
    std::string text = minutes_of({"20", "20.1", "20.2", "20.3"});
    const auto without = read(text + "2027-03-01 13:06,20.4\n");
    CHECK(without.findings.empty());
    const auto with = read(text + "2027-03-01 13:33,20.4\n");
    CHECK_THAT(findings_of(with), Catch::Contains("1 gap longer than 3 of its intervals, the longest from "
                                                  "2027-03-01T20:03:00Z for 0.5 h"));
}

TEST_CASE("logger line that is cut off at the end is passed over and told") {
    const auto log = read(minutes_of({"20", "21"}) + "2027-03-01 13:0");
    CHECK(temps_of(*log.inside) == std::vector<double>{20, 21});
    CHECK(findings_of(log) == "line 4 is cut off and passed over\n");
}

TEST_CASE("logger value that is cut off at the end is passed over and told") {
    const auto log = read(minutes_of({"21.5", "21.5"}) + "2027-03-01 13:02,2");
    CHECK(temps_of(*log.inside) == std::vector<double>{21.5, 21.5});
    CHECK_THAT(findings_of(log), Catch::Contains("looks cut off"));
    CHECK(read(minutes_of({"21.5", "21.5"}) + "2027-03-01 13:02,21").findings.empty());
}

TEST_CASE("logger line that is short within the file is refused") {
    CHECK_THAT(complaint("Date,Time,Temp (C)\n2027-03-01,13:00\n2027-03-01,13:01,20\n"),
               Catch::StartsWith("log.csv:2: has 2 cells; expected 3"));
}

TEST_CASE("logger lines may end in empty cells beyond the header") {
    CHECK(temps_of(*read("Time,Temp (C)\n2027-03-01 13:00,20,,\n").inside) == std::vector<double>{20});
}

TEST_CASE("logger temperatures that no air has are refused with their line") {
    CHECK(complaint(minutes_of({"20", "-999"})) ==
          "log.csv:3: -999 in column 'Temp (C)' is -999.0 degC; expected -60 to 80");
}

TEST_CASE("logger values that stand alone far away are passed over and told") {
    const auto log = read(minutes_of({"20", "20", "60", "20", "20"}));
    CHECK(temps_of(*log.inside) == std::vector<double>{20, 20, 20, 20});
    CHECK_THAT(findings_of(log), Catch::Contains("the column 'Temp (C)' has 1 value more than 15 K away"));
}

TEST_CASE("logger value at either end far from the next two is passed over and told") {
    for (const auto& log :
         {read(minutes_of({"-40", "20", "20", "20"})), read(minutes_of({"20", "20", "20", "-40"}))}) {
        CHECK(temps_of(*log.inside) == std::vector<double>{20, 20, 20});
        CHECK_THAT(findings_of(log), Catch::Contains("has 1 value more than 15 K away"));
    }
    CHECK(temps_of(*read(minutes_of({"20", "-20", "-20"})).inside).size() == 2);
    CHECK(temps_of(*read(minutes_of({"20", "-40"})).inside).size() == 2);
}

TEST_CASE("logger values at either end of a step of two readings are kept") {
    CHECK(temps_of(*read(minutes_of({"20", "20", "0", "0"})).inside).size() == 4);
}

TEST_CASE("logger file that is not UTF-8 is read and its bytes are replaced and told") {
    const auto log = read(
        "Time,Temp (\xB0"
        "C),Stra\xDF"
        "e\n2027-03-01 13:00,20.5,\xE4\n");
    CHECK(temps_of(*log.inside) == std::vector<double>{20.5});
    CHECK(log.inside->name ==
          "Temp (\xEF\xBF\xBD"
          "C)");
    CHECK_THAT(findings_of(log), Catch::Contains("3 bytes are not of UTF-8"));
    CHECK(read("Time,Temp (\xC2\xB0"
               "C)\n2027-03-01 13:00,20.5\n")
              .findings.empty());
}

TEST_CASE("logger offsets from UTC of more than 59 minutes are refused") {
    for (const char* offset : {"-0799", "-07:75", "+0560"}) {
        CAPTURE(offset);
        CHECK_THAT(complaint(fmt::format("Time,Temp (C)\n2027-03-01T13:00:00{},20\n", offset)),
                   Catch::Contains("is no date and time"));
    }
    CHECK(complaint("Time,Temp (C)\n2027-03-01T13:00:00-07:30,20\n").empty());
}

TEST_CASE("logger values in kelvins are not taken for degrees Fahrenheit") {
    const std::string why = complaint(minutes_of({"294", "293"}, "Time,Temp (K)"));
    CHECK_THAT(why, Catch::Contains("kelvins are not read"));
    CHECK_THAT(why, !Catch::Contains("--unit fahrenheit"));
}

TEST_CASE("logger step from a room into the frost is no value that stands alone") {
    CHECK(read(minutes_of({"20", "20", "-20", "-20", "-20"})).findings.empty());
}

TEST_CASE("logger unit that nobody says is guessed and asked about") {
    CHECK(
        complaint(minutes_of({"68", "72"}, "Time,Temp")) ==
        "log.csv: the unit of the column 'Temp' is not said; its values, 68.0 to 72.0, are probably degrees "
        "Fahrenheit: say --unit fahrenheit");
    CHECK_THAT(complaint(minutes_of({"20", "22"}, "Time,Temp")),
               Catch::EndsWith("degrees Celsius: say --unit celsius"));
    CHECK_THAT(complaint(minutes_of({"38", "40"}, "Time,Temp")),
               Catch::EndsWith("say --unit celsius or --unit fahrenheit"));
    CHECK_THAT(complaint(minutes_of({"20", "22"}, "Time,Probe C temp")), Catch::Contains("is not said"));
}

TEST_CASE("logger unit given by hand is used") {
    auto options = in_denver();
    options.unit = learning::TempUnit::fahrenheit;
    CHECK(temps_of(*read(minutes_of({"68"}, "Time,Temp"), options).inside).front() == Approx(20));
}

TEST_CASE("logger unit of the header that its values do not fit is asked about") {
    CHECK(complaint(minutes_of({"68", "72"})) ==
          "log.csv: the column 'Temp (C)' is said to be in degrees Celsius, but its values, 68.0 to 72.0, "
          "are probably "
          "degrees Fahrenheit: say --unit fahrenheit, or --unit celsius if it is so");
    CHECK_THAT(
        complaint(minutes_of({"20", "22"}, "Time,Temp (F)")),
        Catch::Contains("probably degrees Celsius: say --unit celsius, or --unit fahrenheit if it is so"));
    auto options = in_denver();
    options.unit = learning::TempUnit::fahrenheit;
    const auto log = read(minutes_of({"68", "72"}), options);
    CHECK(temps_of(*log.inside).front() == Approx(20));
    CHECK_THAT(findings_of(log), Catch::Contains("the file says degrees Celsius"));
}

TEST_CASE("logger unit given by hand against belief is told") {
    auto options = in_denver();
    options.unit = learning::TempUnit::celsius;
    CHECK_THAT(findings_of(read(minutes_of({"68", "72"}, "Time,Temp"), options)),
               Catch::Contains("hard to believe"));
}

TEST_CASE("logger units that change within a column are refused") {
    CHECK_THAT(complaint(minutes_of({"20 C", "68 F"}, "Time,Temp")),
               Catch::StartsWith("log.csv:3: has another unit"));
}

TEST_CASE("logger text in UTF-16 is refused") {
    CHECK_THAT(complaint(std::string("\xFF\xFE"
                                     "T\0",
                                     4)),
               Catch::Contains("UTF-16"));
}

TEST_CASE("logger files damaged at random end in a log or in an error of input") {
    testing::Dice dice(20270301);
    const std::string good = minutes_of({"20.5", "20.6", "20.7", "20.8"}, "Date Time,Inside (C)");
    constexpr std::string_view kBytes = "0123456789:-/.,;\"\n\r\t TZCF\xC2\xB0";
    int read_well = 0;
    for (int i = 0; i < 3000; ++i) {
        std::string text = good;
        for (std::size_t changes = 1 + dice.below(4); changes > 0; --changes) {
            const std::size_t at = dice.below(text.size());
            const char byte = kBytes[dice.below(kBytes.size())];
            switch (dice.below(3)) {
                case 0:
                    text[at] = byte;
                    break;
                case 1:
                    text.erase(at, 1 + dice.below(10));
                    break;
                default:
                    text.insert(at, 1, byte);
            }
            if (text.empty()) text = " ";
        }
        CAPTURE(text);
        try {
            const auto log = read(text);
            const auto& readings = log.inside->readings;
            for (std::size_t k = 1; k < readings.size(); ++k)
                REQUIRE(readings[k].when > readings[k - 1].when);
            for (const auto& reading : readings) REQUIRE(std::abs(reading.temp_c) <= 80);
            ++read_well;
        } catch (const InputError&) {
        }
    }
    CHECK(read_well > 100);
    CHECK(read_well < 2700);
}
