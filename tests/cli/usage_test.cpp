// Exit code 2: what was typed cannot be carried out. Nothing is printed but a sentence on standard error.
#include "catch.hpp"
#include "command.hpp"

using namespace mildway;
using testing::Arguments;
using testing::Outcome;
using testing::TempWorkspace;

namespace {

void check_usage(const Outcome& outcome, const std::string& says) {
    CHECK(outcome.code == cli::kWrongUsage);
    CHECK(outcome.out.empty());
    CHECK_THAT(outcome.err, Catch::StartsWith("mildway: ") && Catch::Contains(says));
}

}  // namespace

TEST_CASE("no command at all is wrong usage") {
    check_usage(testing::run_bare({}), "Try: mildway --help");
}

TEST_CASE("an unknown command is answered with the nearest") {
    check_usage(testing::run_bare({"plam"}), "no command is called 'plam'; did you mean 'plan'?");
}

TEST_CASE("an unknown command below config is wrong usage") {
    check_usage(testing::run_bare({"config", "chek"}), "Try: mildway --help");
}

TEST_CASE("an unknown option is named") {
    TempWorkspace workspace;
    check_usage(testing::plan_in(workspace, {"--fast"}), "--fast");
}

TEST_CASE("an option that is needed and missing is named") {
    TempWorkspace workspace;
    check_usage(testing::run_in(workspace, {"plan", "--species", "corn snake"}), "--to is required");
    check_usage(testing::run_in(workspace, {"plan", "--to", "Duluth MN"}), "--species is required");
    check_usage(testing::run_in(workspace, {"trace", "--to", "Duluth MN", "--species", "corn snake",
                                            "--packing", "small-38"}),
                "--service is required");
    check_usage(testing::run_in(workspace, {"trace", "--to", "Duluth MN", "--species", "corn snake",
                                            "--service", "night-air"}),
                "--packing is required");
}

TEST_CASE("numbers out of range are refused with their range") {
    TempWorkspace workspace;
    check_usage(testing::plan_in(workspace, {"--days", "0"}), "--days: Value 0 not in range 1 to 60");
    check_usage(testing::plan_in(workspace, {"--days", "61"}), "--days");
    check_usage(testing::plan_in(workspace, {"--count", "0"}), "--count");
    check_usage(testing::plan_in(workspace, {"--count", "13"}), "--count");
    check_usage(testing::plan_in(workspace, {"--mass-g", "0"}), "--mass-g");
    check_usage(testing::plan_in(workspace, {"--mass-g", "-5"}), "--mass-g");
    check_usage(testing::plan_in(workspace, {"--top", "0"}), "--top");
    check_usage(testing::plan_in(workspace, {"--scenarios", "15"}), "--scenarios");
    check_usage(testing::plan_in(workspace, {"--threads", "0"}), "--threads");
    check_usage(testing::plan_in(workspace, {"--value-usd", "-1"}), "--value-usd");
    check_usage(testing::plan_in(workspace, {"--value-usd", "1000001"}), "--value-usd");
    check_usage(testing::trace_in(workspace, {"--late-days", "3"}), "--late-days");
}

TEST_CASE("numbers that are none are refused") {
    TempWorkspace workspace;
    check_usage(testing::plan_in(workspace, {"--days", "many"}), "--days");
    check_usage(testing::plan_in(workspace, {"--seed", "-1"}), "--seed");
    check_usage(testing::plan_in(workspace, {"--mass-g", "nan"}), "--mass-g");
    check_usage(testing::plan_in(workspace, {"--value-usd", "nan"}), "--value-usd is not a number");
}

TEST_CASE("ranking by cost and loss without a value is refused with what is missing") {
    TempWorkspace workspace;
    check_usage(testing::plan_in(workspace, {"--rank-by", "cost-and-loss"}), "give --value-usd");
}

TEST_CASE("an unknown way to rank is refused with those there are") {
    TempWorkspace workspace;
    const Outcome outcome = testing::plan_in(workspace, {"--rank-by", "price", "--value-usd", "10"});
    check_usage(outcome, "--rank-by");
    CHECK_THAT(outcome.err, Catch::Contains("hours") && Catch::Contains("cost-and-loss"));
}

TEST_CASE("a leg that no late parcel waits after is answered with those where they do") {
    TempWorkspace workspace;
    check_usage(testing::trace_in(workspace, {"--late-days", "1", "--late-after", "statoin"}),
                "did you mean 'station'? (known: hub sort, station, van)");
}

TEST_CASE("where a parcel waits is refused for one that is on time") {
    TempWorkspace workspace;
    check_usage(testing::trace_in(workspace, {"--late-after", "van"}), "give --late-days 1 or 2");
}

TEST_CASE("a service that is not sold to the destination cannot be traced") {
    TempWorkspace workspace;
    check_usage(testing::run_in(workspace, {"trace", "--to", "Duluth MN", "--species", "corn snake",
                                            "--service", "road", "--packing", "small-38"}),
                "Road is not sold to Duluth MN");
}

TEST_CASE("an unknown species is answered with the nearest") {
    TempWorkspace workspace;
    check_usage(testing::run_in(workspace, {"plan", "--to", "Duluth MN", "--species", "corn-snak"}),
                "did you mean 'corn-snake'?");
}

TEST_CASE("an unknown service is answered with the nearest") {
    TempWorkspace workspace;
    check_usage(testing::plan_in(workspace, {"--service", "night-ari"}), "did you mean 'night-air'?");
}

TEST_CASE("an unknown packing is answered with the nearest") {
    TempWorkspace workspace;
    check_usage(testing::plan_in(workspace, {"--packing", "smal-38"}), "did you mean 'small-38'?");
}

TEST_CASE("an unknown place is answered with the nearest and with the way to give coordinates") {
    TempWorkspace workspace;
    const Outcome outcome =
        testing::run_in(workspace, {"plan", "--to", "Dulut MN", "--species", "corn snake"});
    check_usage(outcome, "did you mean 'Duluth MN'?");
    CHECK_THAT(outcome.err, Catch::Contains("\"latitude,longitude\""));
}

TEST_CASE("coordinates beyond the globe are no place") {
    TempWorkspace workspace;
    check_usage(testing::run_in(workspace, {"plan", "--to", "96.8,-92.1", "--species", "corn snake"}),
                "no place is called '96.8,-92.1'");
}

TEST_CASE("coordinates far from every known place need a zone") {
    TempWorkspace workspace;
    check_usage(testing::run_in(workspace, {"plan", "--to", "40,-90", "--species", "corn snake"}),
                "--zone is needed for 40.0000,-90.0000");
}

TEST_CASE("a zone that does not exist is refused") {
    TempWorkspace workspace;
    check_usage(testing::run_in(workspace, {"plan", "--to", "46.7867,-92.1005", "--zone", "America/Duluth",
                                            "--species", "corn snake"}),
                "America/Duluth");
}

TEST_CASE("a zone beside a named place is refused") {
    TempWorkspace workspace;
    check_usage(testing::plan_in(workspace, {"--zone", "America/Chicago"}), "--zone goes with coordinates");
}

TEST_CASE("a ship date in the past is refused with today's date at the counter") {
    TempWorkspace workspace;
    check_usage(testing::plan_in(workspace, {"--from", "2027-02-28"}),
                "--from 2027-02-28 is in the past: today is 2027-03-01 at the counter");
    check_usage(testing::trace_in(workspace, {"--ship-date", "2027-02-28"}),
                "--ship-date 2027-02-28 is in the past");
}

TEST_CASE("a date that is none is refused with an example") {
    TempWorkspace workspace;
    for (const char* wrong : {"tomorrow", "2027-02-30", "3/1/2027", "2027-03-01T10:00:00Z"}) {
        CAPTURE(wrong);
        check_usage(testing::plan_in(workspace, {"--from", wrong}), "is not a date like 2027-03-01");
        check_usage(testing::trace_in(workspace, {"--ship-date", wrong}), "is not a date like 2027-03-01");
    }
}

TEST_CASE("a time now that is none is refused with an example") {
    TempWorkspace workspace;
    for (const char* wrong : {"yesterday", "2027-03-01", "2027-03-01T13:00:00", "2027-03-01T25:00:00Z"}) {
        CAPTURE(wrong);
        check_usage(testing::plan_in(workspace, {"--now", wrong}), "is not a time like 2027-03-01T13:00:00Z");
    }
}

TEST_CASE("more animals than any box holds is refused with the room of each") {
    TempWorkspace workspace;
    const Outcome outcome =
        testing::plan_in(workspace, {"--count", "12", "--packing", "small-38", "--packing", "small-19"});
    check_usage(outcome, "no packing holds 12 animals, one to a cup");
    CHECK_THAT(outcome.err, Catch::Contains("38 mm foam: room for 4 cups") &&
                                Catch::Contains("19 mm foam: room for 4 cups"));
}

TEST_CASE("today after the cut-off alone is refused with the cut-off") {
    TempWorkspace workspace;
    check_usage(testing::plan_in(workspace, {"--days", "1"}, "2027-03-02T00:31:00Z"),
                "on Mon 1 Mar at 17:30 has passed");
}

TEST_CASE("today after the cut-off cannot be traced") {
    TempWorkspace workspace;
    check_usage(testing::trace_in(workspace, {}, "2027-03-02T00:31:00Z"), "on Mon 1 Mar at 17:30 has passed");
}

TEST_CASE("a weekend alone is refused with the reason") {
    TempWorkspace workspace;
    check_usage(testing::plan_in(workspace, {"--from", "2027-03-06", "--days", "2"}),
                "accepts no parcels on Sat 6 Mar");
}

TEST_CASE("an error is text on standard error with JSON asked for too") {
    TempWorkspace workspace;
    check_usage(testing::plan_in(workspace, {"--json", "--from", "2027-02-28"}), "is in the past");
}
