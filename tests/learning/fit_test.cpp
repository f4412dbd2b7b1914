// A fit finds what was put into a log, says how sure it is, and says what the log cannot tell.
#include "mildway/base/errors.hpp"

#include "../../fixtures/loggers/made_log.hpp"
#include "box_fixtures.hpp"
#include "catch.hpp"

using namespace mildway;
using demo::MadeLog;
using learning::Figure;
using learning::FigureKind;
using learning::Fit;
using learning::FitRequest;

namespace {

const testing::ShippedBoxes& boxes() {
    static const testing::ShippedBoxes shipped;
    return shipped;
}

const Figure& figure(const Fit& fit, FigureKind kind) {
    for (const Figure& one : fit.figures) {
        if (one.kind == kind) return one;
    }
    throw std::logic_error("no such figure");
}

FitRequest log_of(const std::string& packing, const MadeLog& made) {
    return demo::make_log(boxes().packings.find(packing), boxes().supplies.warmers, made);
}

MadeLog stepped(const demo::TrueBox& box, double sd_k = 0) {
    MadeLog made;
    made.box = box;
    made.around_c = demo::room_and_winter_c;
    made.interval_min = 5;
    made.noise.sd_k = sd_k;
    return made;
}

MadeLog in_a_room(const demo::TrueBox& box, double sd_k = 0) {
    MadeLog made = stepped(box, sd_k);
    made.around_c = [](double) { return 12.0; };
    return made;
}

learning::LoggerSeries every(std::size_t nth, const learning::LoggerSeries& series) {
    learning::LoggerSeries sparse{series.name, {}};
    for (std::size_t i = 0; i < series.readings.size(); i += nth)
        sparse.readings.push_back(series.readings[i]);
    return sparse;
}

std::string complaint(const FitRequest& request) {
    try {
        (void)learning::fit_box(request);
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

std::string findings_of(const Fit& fit) {
    std::string text;
    for (const auto& finding : fit.findings) text += finding + "\n";
    return text;
}

}  // namespace

TEST_CASE("fit recovers all figures of a log without noise") {
    const demo::TrueBox truth{1.3, 40, 0.8};
    const Fit fit = learning::fit_box(log_of("small-38-1w", stepped(truth)));
    for (const auto& f : fit.figures)
        UNSCOPED_INFO(f.value << " " << f.low << " " << f.high << " " << f.why_not);
    CHECK(figure(fit, FigureKind::wall).value == Approx(truth.wall_factor).epsilon(0.002));
    CHECK(figure(fit, FigureKind::air_exchange).value == Approx(truth.air_l_per_h).epsilon(0.02));
    CHECK(figure(fit, FigureKind::warmer).value == Approx(truth.warmer_factor).epsilon(0.002));
    CHECK(fit.after.rms_k < 0.005);
    CHECK(fit.before.rms_k > 1);
}

TEST_CASE("fit recovers the figures of a box without warmers from a log without noise") {
    const demo::TrueBox truth{0.8, 12, 1};
    const Fit fit = learning::fit_box(log_of("small-38", stepped(truth)));
    CHECK(fit.figures.size() == 2);
    CHECK(figure(fit, FigureKind::wall).value == Approx(truth.wall_factor).epsilon(0.002));
    CHECK(figure(fit, FigureKind::air_exchange).value == Approx(truth.air_l_per_h).epsilon(0.05));
}

TEST_CASE("fit recovers the figures from a logger in a cup") {
    const demo::TrueBox truth{1.2, 30, 0.9};
    MadeLog made = stepped(truth);
    made.at = learning::LoggerAt::cup;
    made.contents = {2, 0.02};
    const Fit fit = learning::fit_box(log_of("small-38-1w", made));
    CHECK(figure(fit, FigureKind::wall).value == Approx(truth.wall_factor).epsilon(0.005));
    CHECK(figure(fit, FigureKind::warmer).value == Approx(truth.warmer_factor).epsilon(0.005));
}

TEST_CASE("fit begins each stretch of a log with a gap anew") {
    const demo::TrueBox truth{1.3, 40, 0.8};
    FitRequest request = log_of("small-38-1w", stepped(truth));
    auto& readings = request.inside.readings;
    readings.erase(readings.begin() + 300, readings.begin() + 340);
    const Fit fit = learning::fit_box(request);
    CHECK(fit.stretches.size() == 2);
    // the liner conducts as at the mean over the readings, and those of the gap are missing from it
    CHECK(figure(fit, FigureKind::wall).value == Approx(truth.wall_factor).epsilon(0.005));
    CHECK_THAT(findings_of(fit), Catch::Contains("cut the log into 2 stretches"));
}

TEST_CASE("fit takes a box that was closed before the log began") {
    const demo::TrueBox truth{1.3, 40, 0.8};
    FitRequest request = log_of("small-38-1w", stepped(truth));
    auto& readings = request.inside.readings;
    request.packed = readings.front().when;
    readings.erase(readings.begin(), readings.begin() + 60);
    const Fit fit = learning::fit_box(request);
    CHECK(figure(fit, FigureKind::wall).value == Approx(truth.wall_factor).epsilon(0.01));
    CHECK(figure(fit, FigureKind::warmer).value == Approx(truth.warmer_factor).epsilon(0.01));
}

TEST_CASE("fit leaves out readings from before the box was closed") {
    FitRequest request = log_of("small-38", stepped({1, 10, 1}));
    request.packed = request.inside.readings[10].when;
    const Fit fit = learning::fit_box(request);
    CHECK(fit.stretches.front().from == *request.packed);
    CHECK_THAT(findings_of(fit), Catch::Contains("10 readings from before the box was closed are left out"));
}

TEST_CASE("fit leaves out readings from after the box was opened") {
    FitRequest request = log_of("small-38", stepped({1, 10, 1}));
    request.opened = request.inside.readings[800].when;
    const Fit fit = learning::fit_box(request);
    CHECK(fit.stretches.front().to == request.inside.readings[799].when);
    CHECK_THAT(findings_of(fit), Catch::Contains("65 readings from after the box was opened are left out"));
}

TEST_CASE("fit refuses a log without a reading while the box was closed") {
    FitRequest request = log_of("small-38", stepped({1, 10, 1}));
    request.packed = request.inside.readings.back().when + hours(1);
    CHECK_THAT(complaint(request), Catch::Contains("has no reading while the box was closed"));
}

TEST_CASE("fit leaves out stretches of less than two hours") {
    FitRequest request = log_of("small-38", stepped({1, 10, 1}));
    auto& readings = request.inside.readings;
    readings.erase(readings.begin() + 330, readings.begin() + 350);
    readings.erase(readings.begin() + 290, readings.begin() + 310);
    const Fit fit = learning::fit_box(request);
    CHECK(fit.stretches.size() == 2);
    CHECK_THAT(findings_of(fit), Catch::Contains("1 stretch of less than 2 hours between gaps is left out"));
}

TEST_CASE("fit refuses a log of very many stretches") {
    MadeLog made = stepped({1, 10, 1});
    made.hours = 100;
    FitRequest request = log_of("small-38", made);
    learning::LoggerSeries torn{"Inside", {}};
    for (std::size_t i = 0; i < request.inside.readings.size(); ++i) {
        if (i % 40 < 26) torn.readings.push_back(request.inside.readings[i]);
    }
    request.inside = torn;
    CHECK_THAT(complaint(request), Catch::Contains("is cut by gaps into 30 stretches; expected at most 20"));
}

TEST_CASE("fit of a very long log uses some of its readings and says so") {
    MadeLog made = stepped({1.3, 15, 0.8}, 0.2);
    made.interval_min = 1;
    made.hours = 240;
    const Fit fit = learning::fit_box(log_of("small-38-1w", made));
    CHECK(fit.readings == 7201);
    CHECK_THAT(findings_of(fit), Catch::Contains("of 14401 readings every 2. is used"));
    CHECK(figure(fit, FigureKind::wall).value == Approx(1.3).epsilon(0.05));
}

TEST_CASE("fit of wall and vents on a log without steps tells that they cannot be told apart") {
    const Fit fit = learning::fit_box(log_of("small-38", in_a_room({1.3, 10, 1}, 0.2)));
    CHECK_FALSE(figure(fit, FigureKind::air_exchange).told);
    CHECK(figure(fit, FigureKind::air_exchange).held);
    CHECK(std::abs(fit.correlation[0][1]) > learning::kMostCorrelation);
    CHECK_THAT(figure(fit, FigureKind::air_exchange).why_not,
               Catch::Contains("move the readings in nearly the same way"));
    CHECK_FALSE(figure(fit, FigureKind::wall).told);
    CHECK_THAT(figure(fit, FigureKind::wall).what_would,
               Catch::Contains("carried from a warm room into a cold one"));
}

TEST_CASE("fit tells the wall with steps of the air around and still not the vents") {
    const Fit fit = learning::fit_box(log_of("small-38", stepped({1.3, 10, 1}, 0.05)));
    CHECK(figure(fit, FigureKind::wall).told);
    CHECK_FALSE(figure(fit, FigureKind::air_exchange).told);
    CHECK(std::abs(fit.correlation[0][1]) > learning::kMostCorrelation);
}

TEST_CASE("fit of wall and warmers in steady air tells that they cannot be told apart") {
    const Fit fit = learning::fit_box(log_of("small-38-1w", in_a_room({1.3, 40, 0.8}, 0.2)));
    CHECK_FALSE(figure(fit, FigureKind::wall).told);
    CHECK_FALSE(figure(fit, FigureKind::warmer).told);
    CHECK_THAT(figure(fit, FigureKind::warmer).why_not,
               Catch::Contains("the warmers' output and the wall move"));
    CHECK_THAT(figure(fit, FigureKind::warmer).what_would,
               Catch::Contains("a day with the warmers and a day without"));
}

TEST_CASE("fit tells wall vents and warmers apart with steps of the air around") {
    const Fit fit = learning::fit_box(log_of("small-38-1w", stepped({1.3, 15, 0.8}, 0.2)));
    CHECK(fit.all_told());
    CHECK(fit.fits);
}

TEST_CASE("fit counts readings that are alike as few independent ones") {
    MadeLog made = stepped({1.3, 15, 0.8}, 0.2);
    const Fit coarse = learning::fit_box(log_of("small-38-1w", made));
    made.interval_min = 1;
    const Fit fine = learning::fit_box(log_of("small-38-1w", made));
    // 72 h of a process of 20 minutes: n (1 - r) / (1 + r) = 108
    CHECK(coarse.independent_readings == Approx(108).epsilon(0.25));
    CHECK(fine.independent_readings == Approx(108).epsilon(0.25));
    CHECK(fine.readings == 5 * (coarse.readings - 1) + 1);
}

TEST_CASE("fit in steady air given by hand needs no log of it") {
    FitRequest request = log_of("small-38-1w", in_a_room({1.3, 40, 0.8}));
    const Fit with_log = learning::fit_box(request);
    request.outside = {};
    request.around_c = 12;
    CHECK(learning::fit_box(request).after.rms_k == Approx(with_log.after.rms_k).margin(1e-4));
    request.around_c.reset();
    CHECK(complaint(request) == "made.csv: says nothing of the air around the box");
}

TEST_CASE("fit of another box than the recipe says is poor") {
    FitRequest request = log_of("small-38-2w", stepped({1, 25, 1}));
    request.packing = &boxes().packings.find("small-38");
    const Fit fit = learning::fit_box(request);
    CHECK_FALSE(fit.fits);
    CHECK(fit.after.rms_k > learning::kWorstFit_k);
    for (const Figure& one : fit.figures) {
        CHECK_FALSE(one.told);
        CHECK(one.why_not == "the model does not fit the log");
    }
}

TEST_CASE("fit of a dud warmer says that it is one") {
    const Fit fit = learning::fit_box(log_of("small-38-1w", stepped({1, 10, 0.05}, 0.1)));
    CHECK_FALSE(figure(fit, FigureKind::warmer).told);
    CHECK_THAT(figure(fit, FigureKind::warmer).why_not, Catch::Contains("a dud"));
}

TEST_CASE("fit finds how far the logger is behind and how much too high it reads") {
    MadeLog made = stepped({1.3, 40, 0.8});
    made.noise.lag_min = 5;
    made.noise.offset_k = 0.7;
    const Fit fit = learning::fit_box(log_of("small-38-1w", made));
    CHECK(figure(fit, FigureKind::wall).value == Approx(1.3).epsilon(0.002));
    CHECK(figure(fit, FigureKind::warmer).value == Approx(0.8).epsilon(0.002));
    CHECK_THAT(findings_of(fit), Catch::Contains("the logger seems to read 0.7 K more"));
}

TEST_CASE("fit tells of a logger that is far behind") {
    MadeLog made = stepped({1.3, 40, 0.8}, 0.05);
    made.noise.lag_min = 10;
    CHECK_THAT(findings_of(learning::fit_box(log_of("small-38-1w", made))),
               Catch::Contains("minutes behind the air it is in"));
}

TEST_CASE("fit tells nothing of a logger that is far too slow") {
    for (const double lag_min : {15.0, 20.0, 40.0}) {
        CAPTURE(lag_min);
        MadeLog made = stepped({1.25, 40, 0.8}, 0.05);
        made.noise.lag_min = lag_min;
        const Fit fit = learning::fit_box(log_of("small-38-1w", made));
        for (const Figure& one : fit.figures) {
            CHECK_FALSE(one.told);
            CHECK_THAT(one.why_not,
                       Catch::Contains("of the air it is in") || Catch::Contains("behind the air"));
        }
    }
}

TEST_CASE("fit tells nothing of a logger that reads far too high") {
    for (const double offset_k : {30.0, -3.0}) {
        CAPTURE(offset_k);
        MadeLog made = stepped({1.25, 40, 0.8}, 0.05);
        made.noise.offset_k = offset_k;
        const Fit fit = learning::fit_box(log_of("small-38-1w", made));
        for (const Figure& one : fit.figures) {
            CHECK_FALSE(one.told);
            CHECK_THAT(one.why_not, Catch::Contains("K more than") || Catch::Contains("K less than"));
        }
    }
}

TEST_CASE("fit tells nothing of a box that holds more than was said") {
    MadeLog made = stepped({1.25, 40, 0.8}, 0.05);
    made.contents = {1, 0.05};
    FitRequest request = log_of("small-38-1w", made);
    request.contents = {1, 0.001};
    for (const Figure& one : learning::fit_box(request).figures) {
        CHECK_FALSE(one.told);
        CHECK_THAT(one.why_not, Catch::Contains("minutes ahead of the air it is in, which none is"));
    }
}

TEST_CASE("fit is never surer of the wall than of the heat that it is told against") {
    const Fit fit = learning::fit_box(log_of("small-38-1w", stepped({1.3, 40, 0.8})));
    CHECK(figure(fit, FigureKind::wall).relative_error > 0.1);
    CHECK(figure(fit, FigureKind::warmer).relative_error > 0.1);
}

TEST_CASE("fit of a box whose heat is 15 in 100 more holds the truth in its intervals") {
    MadeLog made = stepped({1.3, 40, 0.8}, 0.1);
    made.box.heat_factor = 1.15;
    const Fit fit = learning::fit_box(log_of("small-38-1w", made));
    CHECK(figure(fit, FigureKind::wall).value < 1.25);  // the slower box seems better insulated
    CHECK(figure(fit, FigureKind::wall).high > 1.3);
    CHECK(figure(fit, FigureKind::warmer).high > 0.8);
}

TEST_CASE("fit takes no notice of what was learnt before") {
    const FitRequest request = log_of("small-38-1w", stepped({1.3, 15, 0.8}, 0.2));
    box::Packing learnt = *request.packing;
    learnt.learnt = {2, 100, 0.5};
    FitRequest again = request;
    again.packing = &learnt;
    CHECK(figure(learning::fit_box(again), FigureKind::wall).value ==
          figure(learning::fit_box(request), FigureKind::wall).value);
}

TEST_CASE("fit refuses a log that is too short") {
    MadeLog made = stepped({1, 10, 1});
    made.hours = 5;
    CHECK(complaint(log_of("small-38", made)) ==
          "made.csv: holds 5.0 h that can be used; expected 6 or more");
}

TEST_CASE("fit refuses a log that is too coarse") {
    FitRequest request = log_of("small-38", in_a_room({1, 10, 1}));
    request.inside = every(24, request.inside);
    CHECK(complaint(request) == "made.csv: readings are 2.0 h apart; expected at most an hour");
}

TEST_CASE("fit refuses readings of the air around that are too coarse") {
    FitRequest request = log_of("small-38", stepped({1, 10, 1}));
    request.outside = every(36, request.outside);
    CHECK_THAT(complaint(request), Catch::Contains("readings of the air around are 3.0 h apart"));
}

TEST_CASE("fit does not guess the air around across a gap of more than an hour") {
    FitRequest request = log_of("small-38", stepped({1.3, 10, 1}));
    auto& around = request.outside.readings;
    around.erase(around.begin() + 300, around.begin() + 330);
    const Fit fit = learning::fit_box(request);
    CHECK(fit.stretches.size() == 2);
    CHECK_THAT(findings_of(fit),
               Catch::Contains("30 readings are left out because the air around is not known"));
    CHECK(figure(fit, FigureKind::wall).value == Approx(1.3).epsilon(0.01));
}

TEST_CASE("fit refuses a log of the air around from another time") {
    FitRequest request = log_of("small-38", stepped({1, 10, 1}));
    for (auto& reading : request.outside.readings) reading.when -= hours(1000);
    CHECK_THAT(complaint(request), Catch::Contains("is one of the clocks off?"));
}

TEST_CASE("fit refuses a packing with a coolant") {
    FitRequest request = log_of("small-38", stepped({1, 10, 1}));
    const testing::ShippedBoxes& shipped = boxes();
    box::Packing cooled = *request.packing;
    cooled.coolant = box::CoolantUse{shipped.supplies.coolants.at(0), 1, 0};
    request.packing = &cooled;
    CHECK_THAT(complaint(request), Catch::Contains("has a coolant"));
}
