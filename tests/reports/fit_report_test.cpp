#include "mildway/reports/fit_report.hpp"

#include "catch.hpp"
#include "made_options.hpp"
#include "report_text.hpp"

#include <nlohmann/json.hpp>

using namespace mildway;
using learning::Figure;
using learning::FigureKind;
using learning::Fit;
using testing::flat;

namespace {

Figure made_figure(FigureKind kind, double recipe, double value, double low, double high) {
    Figure figure;
    figure.kind = kind;
    figure.recipe = recipe;
    figure.value = value;
    figure.low = low;
    figure.high = high;
    figure.relative_error = 0.05;
    figure.told = true;
    return figure;
}

Fit made_fit() {
    const Instant from = *parse_instant("2027-01-12T15:00:00Z");
    Fit fit;
    fit.figures = {made_figure(FigureKind::wall, 1, 1.254, 1.2, 1.31),
                   made_figure(FigureKind::air_exchange, 9.5, 15, 13, 17.25),
                   made_figure(FigureKind::warmer, 1, 0.85, 0.8, 0.9)};
    fit.correlation = {{1, 0.2, 0.9}, {0.2, 1, 0.1}, {0.9, 0.1, 1}};
    fit.before = {2, -4, from + hours(3)};
    fit.after = {0.25, 0.5, from + hours(6)};
    fit.readings = 4321;
    fit.independent_readings = 108.4;
    fit.stretches = {{from, from + hours(72)}};
    fit.fits = true;
    return fit;
}

Fit untold_fit() {
    Fit fit = made_fit();
    Figure& air = fit.figures[1];
    air.told = false;
    air.held = true;
    air.value = air.recipe;
    air.why_not = "the readings hardly depend on it";
    air.what_would = "a day with the vents open and a day with all holes and seams taped, the same otherwise";
    return fit;
}

struct Scene {
    planning::Workspace workspace;
    box::Packing packing = testing::named_packing("small-38-1w", true);
    reports::FitSubject subject{&workspace, &packing, "box.csv",   learning::LoggerAt::cavity,
                                "indoors",  false,    std::nullopt};

    Scene() { workspace.origin.zone = "America/Denver"; }
    [[nodiscard]] std::string text(const Fit& fit) const { return reports::fit_text(subject, fit); }
    [[nodiscard]] nlohmann::json json(const Fit& fit) const {
        return nlohmann::json::parse(reports::fit_json(subject, fit));
    }
};

}  // namespace

TEST_CASE("a fit says what was fitted and on how much") {
    const std::string text = flat(Scene().text(made_fit()));
    CHECK_THAT(text, Catch::StartsWith("box.csv in packing small-38-1w"));
    CHECK_THAT(text, Catch::Contains(
                         "4321 readings, Tue 12 Jan 08:00 to Fri 15 Jan 08:00, worth about 108 independent"));
    CHECK_THAT(text, Catch::Contains("the logger in the air of the box, the box in setting indoors"));
}

TEST_CASE("a fit shows recipe value and interval of each figure") {
    const std::string text = flat(Scene().text(made_fit()));
    CHECK_THAT(text, Catch::Contains("Liner conducts 1.00 1.25 1.20 to 1.31 x recipe"));
    CHECK_THAT(text, Catch::Contains("Air exchange 9.50 15.0 13.0 to 17.2 L/h"));
    CHECK_THAT(text, Catch::Contains("Warmers give 1.00 0.85 0.80 to 0.90 x recipe"));
}

TEST_CASE("a fit shows the error before and after in the workspace's degrees") {
    Scene scene;
    CHECK_THAT(flat(scene.text(made_fit())),
               Catch::Contains("recipe 2.00 °C 4.00 °C Tue 12 Jan 11:00") &&
                   Catch::Contains("these figures 0.25 °C 0.50 °C Tue 12 Jan 14:00"));
    scene.workspace.scale = planning::TemperatureScale::fahrenheit;
    CHECK_THAT(flat(scene.text(made_fit())), Catch::Contains("recipe 3.60 °F 7.20 °F"));
}

TEST_CASE("a fit says why a figure is not told and what log would tell it") {
    const std::string text = flat(Scene().text(untold_fit()));
    CHECK_THAT(text, Catch::Contains("Air exchange? 9.50 9.50 kept at the recipe L/h"));
    CHECK_THAT(text, Catch::Contains(
                         "Air exchange: the readings hardly depend on it. A log that would tell it: a day "
                         "with the vents open"));
    CHECK_THAT(flat(Scene().text(made_fit())), !Catch::Contains("Not told"));
}

TEST_CASE("a fit that is poor warns of its figures") {
    Fit fit = made_fit();
    CHECK_THAT(flat(Scene().text(fit)), !Catch::Contains("Do not use the figures"));
    fit.fits = false;
    CHECK_THAT(flat(Scene().text(fit)), Catch::Contains("Do not use the figures"));
}

TEST_CASE("a fit says that one log tells of one box") {
    Scene scene;
    CHECK_THAT(flat(scene.text(made_fit())), Catch::Contains("One log tells of one box and its own warmers"));
    scene.packing.warmers.clear();
    CHECK_THAT(flat(scene.text(made_fit())), Catch::Contains("One log tells of one box: the next box"));
}

TEST_CASE("a fit says what was saved and what was not") {
    Scene scene;
    CHECK_THAT(flat(scene.text(made_fit())), Catch::Contains("Nothing is saved; --save keeps"));
    scene.subject.save_was_asked = true;
    CHECK_THAT(flat(scene.text(made_fit())), Catch::Contains("Nothing is saved: only figures"));
    box::Warmers warmers;
    warmers.add({});
    scene.subject.saved = learning::record_of(scene.packing, warmers, "box.csv", untold_fit());
    CHECK_THAT(flat(scene.text(untold_fit())),
               Catch::Contains("Saved in learnt.json for packing small-38-1w: wall, warmers."));
    CHECK_THAT(flat(scene.text(untold_fit())), !Catch::Contains("Kept from earlier logs"));
}

TEST_CASE("a fit says which figures of earlier logs are kept") {
    Scene scene;
    scene.subject.saved.emplace();
    scene.subject.kept = {FigureKind::air_exchange};
    CHECK_THAT(flat(scene.text(untold_fit())),
               Catch::Contains("Kept from earlier logs, as this one does not tell it: air exchange."));
    CHECK(scene.json(untold_fit())["kept"] == nlohmann::json({"air_exchange_l_per_h"}));
}

TEST_CASE("a fit ends a reason that asks with one mark") {
    Fit fit = untold_fit();
    fit.figures[1].why_not = "opened long before?";
    CHECK_THAT(flat(Scene().text(fit)), Catch::Contains("opened long before? A log"));
}

TEST_CASE("a fit of a file whose name is not UTF-8 is still JSON") {
    Scene scene;
    scene.subject.log = "b\xFCx.csv";
    CHECK(scene.json(made_fit())["log"] == "b\xEF\xBF\xBDx.csv");
}

TEST_CASE("a fit shows what was found in the files") {
    Fit fit = made_fit();
    fit.findings = {"the newest reading comes first; read from the end"};
    CHECK_THAT(Scene().text(fit), Catch::Contains("  ! the newest reading comes first"));
}

TEST_CASE("a fit keeps to the width of a screen") {
    Fit fit = untold_fit();
    fit.fits = false;
    fit.findings.assign(1, std::string(20, 'a') + " " + std::string(50, 'b') + " " + std::string(40, 'c'));
    for (const auto& line : testing::lines_of(Scene().text(fit))) {
        CAPTURE(line);
        CHECK(line.size() <= 80 + 2);  // two degree signs of two bytes each
    }
}

TEST_CASE("a fit as JSON holds every figure and what it rests on") {
    const nlohmann::json json = Scene().json(untold_fit());
    CHECK(json["document"] == "mildway fit");
    CHECK(json["version"] == 1);
    CHECK(json["packing"] == "small-38-1w");
    CHECK(json["logger_at"] == "cavity");
    CHECK(json["stretches"][0]["to"] == "2027-01-15T15:00:00Z");
    CHECK(json["before"]["worst_k"] == -4);
    CHECK(json["fits"] == true);
    CHECK(json["figures"][0]["figure"] == "wall_factor");
    CHECK(json["figures"][0]["value"] == 1.254);
    CHECK(json["figures"][0]["why_not"].is_null());
    CHECK(json["figures"][1]["told"] == false);
    CHECK(json["figures"][1]["kept_at_recipe"] == true);
    CHECK(json["correlations"][1]["between"] == nlohmann::json({"wall_factor", "warmer_factor"}));
    CHECK(json["correlations"][1]["correlation"] == 0.9);
    CHECK(json["saved"].empty());
}
