// Zones and the hours that are skipped or come twice. In Denver clocks go forward on 14 March 2027 at 2:00
// and back on 7 November 2027 at 2:00.
#include "catch.hpp"
#include "logger_texts.hpp"

#include <fmt/format.h>

using namespace mildway;
using testing::complaint;
using testing::in_denver;
using testing::read;
using testing::times_of;

namespace {

/// A log of constant temperature at these clock times of one day, temperatures rising so that no line
/// repeats.
std::string log_at(const std::string& day, const std::vector<std::string>& clocks) {
    std::string text = "Time,Temp (C)\n";
    double temp_c = 20;
    for (const auto& clock : clocks) text += fmt::format("{} {},{:.1f}\n", day, clock, temp_c += 0.1);
    return text;
}

const std::string kAutumn = "2027-11-07";
const std::string kSpring = "2027-03-14";

}  // namespace

TEST_CASE("logger zone that nobody gave is told") {
    auto options = in_denver();
    options.zone_is_given = false;
    CHECK_THAT(testing::findings_of(read(log_at(kSpring, {"01:00", "01:30"}), options)),
               Catch::Contains("taken as those of America/Denver"));
    CHECK(read(log_at(kSpring, {"01:00", "01:30"})).findings.empty());
    CHECK(read("Time,Temp (C)\n2027-03-14T01:00Z,20\n", options).findings.empty());
}

TEST_CASE("logger hour that is skipped in spring is refused with a zone that has none") {
    CHECK(complaint(log_at(kSpring, {"01:30", "02:00", "02:30", "03:00"})) ==
          "log.csv:3: is at 2027-03-14 02:00, which no clock in America/Denver shows: they go forward then. "
          "If the "
          "logger's clock does not, give a zone without summer time: --zone Etc/GMT+7");
    auto options = in_denver();
    options.zone = &find_zone("Etc/GMT+7");
    CHECK(times_of(*read(log_at(kSpring, {"01:30", "02:00"}), options).inside).back() ==
          "2027-03-14T09:00:00Z");
}

TEST_CASE("logger that follows the clock in spring goes on") {
    CHECK(times_of(*read(log_at(kSpring, {"01:30", "03:00"})).inside) ==
          std::vector<std::string>{"2027-03-14T08:30:00Z", "2027-03-14T09:00:00Z"});
}

TEST_CASE("logger hour that comes twice in autumn is told apart by its order") {
    CHECK(times_of(*read(log_at(kAutumn, {"00:30", "01:00", "01:30", "01:00", "01:30", "02:00"})).inside) ==
          std::vector<std::string>{"2027-11-07T06:30:00Z", "2027-11-07T07:00:00Z", "2027-11-07T07:30:00Z",
                                   "2027-11-07T08:00:00Z", "2027-11-07T08:30:00Z", "2027-11-07T09:00:00Z"});
}

TEST_CASE("logger that reads once an hour has the hour of autumn twice") {
    CHECK(times_of(*read(log_at(kAutumn, {"00:30", "01:30", "01:30", "02:30"})).inside) ==
          std::vector<std::string>{"2027-11-07T06:30:00Z", "2027-11-07T07:30:00Z", "2027-11-07T08:30:00Z",
                                   "2027-11-07T09:30:00Z"});
}

TEST_CASE("logger that ends or begins in the hour of autumn is read so that it goes on") {
    CHECK(times_of(*read(log_at(kAutumn, {"00:30", "01:00", "01:30"})).inside).back() ==
          "2027-11-07T07:30:00Z");
    CHECK(times_of(*read(log_at(kAutumn, {"01:00", "01:30", "02:00"})).inside).front() ==
          "2027-11-07T08:00:00Z");
}

TEST_CASE("logger that does not go back in autumn is refused with two zones") {
    CHECK(complaint(log_at(kAutumn, {"00:30", "01:00", "01:30", "02:00"})) ==
          "log.csv:3: is at 2027-11-07 01:00, which clocks in America/Denver show twice, and with either "
          "there is a "
          "step that is longer than the others. If the logger's clock does not go back, give a zone without "
          "summer "
          "time: --zone Etc/GMT+7 if it was set in winter, --zone Etc/GMT+6 if in summer");
}

TEST_CASE("logger that lies wholly in the hour of autumn is refused") {
    CHECK_THAT(complaint(log_at(kAutumn, {"01:00", "01:10", "01:20"})),
               Catch::Contains("the readings about it do not tell which"));
}

TEST_CASE("logger whose times go back twice in the hour of autumn is refused") {
    CHECK_THAT(complaint(log_at(kAutumn, {"01:00", "01:30", "01:00", "01:30", "01:00"})),
               Catch::StartsWith("log.csv:6:") && Catch::Contains("go back more than once"));
}

TEST_CASE("logger lines that are written twice in the hour of autumn are no second hour") {
    std::string text = "Time,Temp (C)\n";
    for (const char* clock : {"00:59", "01:00", "01:00", "01:01"}) text += kAutumn + " " + clock + ",20\n";
    CHECK(times_of(*read(text).inside) ==
          std::vector<std::string>{"2027-11-07T06:59:00Z", "2027-11-07T07:00:00Z", "2027-11-07T07:01:00Z"});
}
