// What is understood: columns in any order, ways to write a time, units.
#include "catch.hpp"
#include "logger_texts.hpp"

using namespace mildway;
using learning::DateOrder;
using testing::complaint;
using testing::in_denver;
using testing::read;
using testing::temps_of;
using testing::times_of;

namespace {

using Times = std::vector<std::string>;
using Temps = std::vector<double>;

/// The one time in a log whose time column holds `stamp`.
std::string instant_of(const std::string& stamp, const learning::LoggerOptions& options = in_denver()) {
    return times_of(*read("Date Time;Temp (C)\n" + stamp + ";20\n", options).inside).front();
}

}  // namespace

TEST_CASE("logger columns are found by name in any order") {
    const auto log =
        read("Temp (C),No.,Humidity (%),Time,Date\n20.5,1,45,13:05,2027-03-01\n20.6,2,45,13:06,2027-03-01\n");
    CHECK(times_of(*log.inside) == Times{"2027-03-01T20:05:00Z", "2027-03-01T20:06:00Z"});
    CHECK(temps_of(*log.inside) == Temps{20.5, 20.6});
    CHECK_FALSE(log.outside.has_value());
}

TEST_CASE("logger lines of title before the header are passed over") {
    const auto log = read(
        "Logger of the box: spring trial\nBegan,2027-03-01\n\nSettings,1 min,\"temp, "
        "C\"\nIndex,Date/Time,Temperature_C\n"
        "1,2027-03-01 13:05:00,20.5\n");
    CHECK(temps_of(*log.inside) == Temps{20.5});
}

TEST_CASE("logger times may be ISO 8601 with and without a zone") {
    CHECK(instant_of("2027-03-01T13:05:00Z") == "2027-03-01T13:05:00Z");
    CHECK(instant_of("2027-03-01T13:05:00+02:00") == "2027-03-01T11:05:00Z");
    CHECK(instant_of("2027-03-01 13:05-0700") == "2027-03-01T20:05:00Z");
    CHECK(instant_of("2027-03-01T13:05") == "2027-03-01T20:05:00Z");
    CHECK(instant_of("2027-03-01 13:05:59.75") == "2027-03-01T20:05:59Z");
    CHECK(instant_of("2027/3/1 13:05 UTC") == "2027-03-01T13:05:00Z");
}

TEST_CASE("logger times may have AM and PM") {
    CHECK(instant_of("12/31/2027 1:05 PM") == "2027-12-31T20:05:00Z");
    CHECK(instant_of("12/31/2027 12:05:00 AM") == "2027-12-31T07:05:00Z");
    CHECK(instant_of("12/31/27 12:05 p.m.") == "2027-12-31T19:05:00Z");
}

TEST_CASE("logger times may name the month") {
    CHECK(instant_of("1-Mar-2027 13:05") == "2027-03-01T20:05:00Z");
    CHECK(instant_of("01 March 27, 13:05") == "2027-03-01T20:05:00Z");
}

TEST_CASE("logger dates with dots have the day first") {
    CHECK(instant_of("01.03.2027 13:05:00") == "2027-03-01T20:05:00Z");
}

TEST_CASE("logger times may be seconds or milliseconds since 1970") {
    CHECK(times_of(*read("unix,temp_c\n1803912300,20\n").inside) == Times{"2027-03-01T14:45:00Z"});
    CHECK(times_of(*read("Time,temp_c\n1803912300000,20\n").inside) == Times{"2027-03-01T14:45:00Z"});
}

TEST_CASE("logger times counted from the beginning need to be told when that was") {
    const char* text = "Elapsed (min),Temp (C)\n0,20\n1.5,21\n";
    CHECK(complaint(text) ==
          "log.csv:1: counts times from the beginning of the log; say when that was with --started");
    auto options = in_denver();
    options.started = parse_instant("2027-03-01T13:00:00Z");
    CHECK(times_of(*read(text, options).inside) == Times{"2027-03-01T13:00:00Z", "2027-03-01T13:01:30Z"});
    CHECK_THAT(complaint("Elapsed,Temp (C)\n0,20\n", options), Catch::Contains("seconds, minutes or hours"));
}

TEST_CASE("logger header may say the offset from UTC") {
    CHECK(times_of(*read("\"Date Time, GMT-06:00\",\"Temp, °C\"\n2027-03-01 13:05,20\n").inside) ==
          Times{"2027-03-01T19:05:00Z"});
    CHECK(times_of(*read("Time (UTC),Temp (C)\n2027-03-01 13:05,20\n").inside) ==
          Times{"2027-03-01T13:05:00Z"});
}

TEST_CASE("logger unit is read from the header in many spellings") {
    for (const char* name : {"Temp (°C)", "Temperature_C", "T[degC]", "Celsius", "Temp (\260C)", "Temp ℃",
                             "TempC", "Temperature C", "Inside deg C"}) {
        INFO(name);
        CHECK(temps_of(*read(std::string("Date Time;") + name + "\n2027-03-01 13:05;20\n").inside) ==
              Temps{20});
    }
    for (const char* name : {"Temp (°F)", "Temperature_F", "T [degF]", "Fahrenheit", "Temp ℉", "TempF"}) {
        INFO(name);
        CHECK(temps_of(*read(std::string("Date Time;") + name + "\n2027-03-01 13:05;68\n").inside).front() ==
              Approx(20));
    }
}

TEST_CASE("logger unit may stand under the names or beside the numbers") {
    CHECK(temps_of(*read("Time;Temp\n;°F\n2027-03-01 13:05;68\n").inside).front() == Approx(20));
    CHECK(temps_of(*read("Time;Temp\n2027-03-01 13:05;20.5 °C\n").inside) == Temps{20.5});
}

TEST_CASE("logger numbers may have a decimal comma where commas do not part cells") {
    CHECK(temps_of(*read("Datum;Uhrzeit;Temperatur [°C]\r\n01.03.2027;13:05:00;20,5\r\n").inside) ==
          Temps{20.5});
    CHECK(temps_of(*read("Time\tTemp (C)\n2027-03-01 13:05\t20,5\n").inside) == Temps{20.5});
    CHECK_THAT(complaint("Time,Temp (C)\n2027-03-01 13:05,20,5\n"),
               Catch::Contains("log.csv:2: has 3 cells; expected 2") && Catch::Contains("decimal comma"));
}

TEST_CASE("logger with two temperatures is read by their roles") {
    for (const char* name : {"Outside", "Ambient", "Room"}) {
        const auto log =
            read(std::string("Time;") + name + " temp (C);Inside temp (C)\n2027-03-01 13:05;5;20\n");
        CHECK(temps_of(*log.inside) == Temps{20});
        CHECK(temps_of(*log.outside) == Temps{5});
    }
}

TEST_CASE("logger with two temperatures of unclear roles is asked about") {
    const std::string text = "Time;Internal (C);Probe (C)\n2027-03-01 13:05;5;20\n";
    CHECK(complaint(text) ==
          "log.csv:1: has several temperatures, and their names do not say which is inside the box "
          "('Internal (C)', "
          "'Probe (C)'); say which with --inside-column and --outside-column");
    auto options = in_denver();
    options.inside_column = "probe (c)";
    options.outside_column = "Internal (C)";
    CHECK(temps_of(*read(text, options).inside) == Temps{20});
    CHECK(temps_of(*read(text, options).outside) == Temps{5});
}

TEST_CASE("logger column named by hand must be there") {
    auto options = in_denver();
    options.inside_column = "Prob";
    CHECK_THAT(complaint("Time;Probe;Other\n2027-03-01 13:05;5;20\n", options),
               Catch::Contains("none of which is named as a temperature"));
    options.inside_column = "Insid (C)";
    CHECK_THAT(complaint("Time;Inside (C)\n2027-03-01 13:05;5\n", options),
               Catch::Contains("did you mean 'Inside (C)'?"));
}

TEST_CASE("logger columns that are passed over are told") {
    const auto log = read("Time,Inside (C),Outside (C),Lid (C),Dew point (C)\n2027-03-01 13:05,20,5,18,3\n");
    CHECK(testing::findings_of(log) == "the column 'Lid (C)' is passed over\n");
}

TEST_CASE("logger of the surroundings needs no inside") {
    auto options = in_denver();
    options.part = learning::LoggerPart::surroundings;
    const auto log = read("Time,Temp (C)\n2027-03-01 13:05,-15\n", options);
    CHECK_FALSE(log.inside.has_value());
    CHECK(temps_of(*log.outside) == Temps{-15});
}

TEST_CASE("logger that writes the newest first is turned round") {
    const auto log = read("Time,Temp (C)\n2027-03-01 13:07,22\n2027-03-01 13:06,21\n2027-03-01 13:05,20\n");
    CHECK(temps_of(*log.inside) == Temps{20, 21, 22});
    CHECK_THAT(testing::findings_of(log), Catch::Contains("newest reading comes first"));
}

TEST_CASE("logger order of day and month is settled by one date that allows only one") {
    CHECK(times_of(*read("Time,Temp (C)\n03/12/2027 23:59,20\n03/13/2027 00:00,20\n").inside) ==
          Times{"2027-03-13T06:59:00Z", "2027-03-13T07:00:00Z"});
    CHECK(times_of(*read("Time,Temp (C)\n12/03/2027 23:59,20\n13/03/2027 00:00,20\n").inside) ==
          Times{"2027-03-13T06:59:00Z", "2027-03-13T07:00:00Z"});
}

TEST_CASE("logger order of day and month is settled by a midnight that goes on") {
    const auto log = read("Time,Temp (C)\n03/01/2027 23:59,20\n03/02/2027 00:00,20\n");
    CHECK(times_of(*log.inside) == Times{"2027-03-02T06:59:00Z", "2027-03-02T07:00:00Z"});
    CHECK_THAT(testing::findings_of(log), Catch::Contains("dates are read with the month first"));
}

TEST_CASE("logger order of day and month that nothing settles is asked about") {
    const char* text = "Time,Temp (C)\n03/01/2027 13:05,20\n03/01/2027 13:06,20\n";
    CHECK_THAT(complaint(text),
               Catch::StartsWith("log.csv:2: is a date that can be read with the day or the month") &&
                   Catch::Contains("--dates day-first or --dates month-first"));
    auto options = in_denver();
    options.dates = DateOrder::day_first;
    CHECK(times_of(*read(text, options).inside).front() == "2027-01-03T20:05:00Z");
    options.dates = DateOrder::month_first;
    CHECK(times_of(*read(text, options).inside).front() == "2027-03-01T20:05:00Z");
}

TEST_CASE("logger dates of both orders in one file are refused") {
    CHECK(complaint("Time,Temp (C)\n03/13/2027 13:05,20\n13/03/2027 13:06,20\n") ==
          "log.csv:3: is a date with the day first, line 2 one with the month first; expected one order");
}
