#include "mildway/reports/sheet.hpp"

#include "svg.hpp"

#include <array>

#include <fmt/format.h>

namespace mildway::reports {

namespace {

/// Sizes are in points: it is made to be printed. Both papers have room for 190 x 265 mm within these
/// margins.
constexpr const char* kStyle = R"(
@page { margin: 7mm 10mm; }
* { box-sizing: border-box; }
body { margin: 0 auto; max-width: 190mm; color: #000; background: #fff;
  font: 10pt/1.15 "Liberation Sans", Arial, Helvetica, sans-serif; }
h1, h2, p, ul, ol { margin: 0; padding: 0; font-size: inherit; }
header { display: flex; justify-content: space-between; border-bottom: 2pt solid #000; padding-bottom: 1mm; }
h1 { font-size: 17pt; line-height: 1.05; }
header .what { font-size: 11.5pt; }
header .when { text-align: right; }
header .day { font-size: 15pt; font-weight: bold; line-height: 1.1; }
.facts { display: flex; gap: 3mm; margin: 0.8mm 0; }
.facts > div { flex: 1; }
.verdict { border: 1pt solid #000; border-left-width: 5pt; padding: 0.6mm 1.5mm; }
.cold { border-left-color: #2166ac; }
.warm { border-left-color: #e08214; }
.unknown { border-left-color: #767676; }
.stop { border: 3pt double #000; padding: 1mm 2mm; margin: 1mm 0; font-weight: bold; }
h2 { font-size: 10pt; text-transform: uppercase; letter-spacing: 0.04em; border-bottom: 0.75pt solid #000;
  margin: 1.2mm 0 0.4mm; }
.law { border: 1.5pt solid #000; padding: 0 2mm 0.8mm; margin: 1mm 0; }
.columns { display: flex; gap: 4mm; }
.columns > section { flex: 1; min-width: 0; }
li { list-style: none; }
.box { display: inline-block; width: 3mm; height: 3mm; border: 0.9pt solid #000; margin-right: 1.3mm;
  vertical-align: -0.35mm; }
.tick { padding-left: 4.4mm; text-indent: -4.4mm; }
.tick > * { text-indent: 0; }
.source, .small { font-size: 8.5pt; }
.finding { display: block; font-weight: bold; }
table { border-collapse: collapse; width: 100%; }
th { text-align: left; font-weight: normal; font-size: 8.5pt; vertical-align: bottom; }
td, th { padding: 0.25mm 1.2mm 0.25mm 0; }
.times { display: flex; border: 0.75pt solid #000; margin-top: 1mm; }
.times li { flex: 1 1 0; padding: 0.6mm 1.5mm; font-size: 8.5pt; border-left: 0.75pt solid #000; }
.times li:first-child { border-left: 0; }
.clock { display: block; font-size: 13pt; font-weight: bold; line-height: 1.15; }
.animals td, .animals th { border: 0.5pt solid #000; padding: 0.4mm 0.7mm; text-align: center; }
.animals td.name { text-align: left; font-weight: bold; min-width: 16mm; max-width: 40mm; }
.animals th.wide { min-width: 17mm; }
.animals td.order { white-space: nowrap; font-size: 8.5pt; }
.animals td .box { margin: 0; }
.label { display: flex; gap: 3mm; margin-bottom: 0.6mm; }
.label > div { flex: 1; border: 0.75pt solid #000; padding: 0.6mm 1.2mm; min-height: 12mm; min-width: 0; }
.write p { display: flex; align-items: flex-end; gap: 1.3mm; margin-top: 1.2mm; white-space: nowrap; }
.write .line { flex: 1; min-width: 0; }
.line { display: block; border-bottom: 0.75pt solid #000; height: 4.4mm; }
.mind { columns: 2; column-gap: 4mm; font-size: 8.5pt; line-height: 1.1; }
.mind li { break-inside: avoid; padding-left: 3mm; text-indent: -3mm; }
.mind li::before { content: "\2013\00a0"; }
body { overflow-wrap: break-word; }
.name, h1, .label > div, .when, header > div, .tick { overflow-wrap: anywhere; }
tr, .law, .stop, .tick { break-inside: avoid; }
)";

/// Safe for text and attributes; control characters, which no page may hold, become blanks.
std::string safe(std::string_view text) {
    std::string plain(text);
    for (char& letter : plain) {
        const auto byte = static_cast<unsigned char>(letter);
        if (byte < 0x20 || byte == 0x7F) letter = ' ';
    }
    return svg::escape(plain);
}

constexpr const char* kBox = "<span class=\"box\"></span>";
constexpr const char* kLine = "<span class=\"line\"></span>";

std::string tick(const std::string& inner) {
    return fmt::format("<li class=\"tick\">{}{}</li>\n", kBox, inner);
}

std::string heading(std::string_view words) {
    return fmt::format("<h2>{}</h2>\n", safe(words));
}

std::string head(const Sheet& sheet) {
    return fmt::format(
        "<header>\n<div><h1>Order {}</h1>\n<p class=\"what\"><b>{}</b> (<i>{}</i>)<br/>{}</p></div>\n"
        "<div class=\"when\"><p>{}: packing sheet</p><p class=\"day\">{}</p>\n<p><b>{}</b></p>\n"
        "<p class=\"small\">{}</p></div>\n"
        "</header>\n",
        safe(sheet.number), safe(sheet.animals), safe(sheet.scientific), safe(sheet.lane),
        safe(sheet.breeder), safe(sheet.ship_day), safe(sheet.be_there), safe(sheet.clock));
}

std::string verdict_class(const Sheet& sheet) {
    if (sheet.verdict == Verdict::unknown) return "unknown";
    return sheet.side == Side::cold ? "cold" : "warm";
}

std::string facts(const Sheet& sheet) {
    std::string text =
        fmt::format("<div class=\"facts\">\n<div><p><b>{}</b>; {}.</p><p>Packing: <b>{}</b>. {}</p></div>\n",
                    safe(sheet.service), safe(sheet.arrival), safe(sheet.packing), safe(sheet.bounds));
    text += fmt::format("<div class=\"verdict {}\"><p><b>{}</b>.</p><p class=\"small\">{}.",
                        verdict_class(sheet), safe(sheet.judged), safe(sheet.assessed));
    for (const std::string& remark : sheet.remarks) text += " " + safe(remark);
    return text + "</p></div>\n</div>\n";
}

std::string alarms(const Sheet& sheet) {
    if (sheet.alarms.empty()) return "";
    std::string text = "<div class=\"stop\">";
    for (const std::string& alarm : sheet.alarms) text += fmt::format("<p>{}</p>", safe(alarm));
    return text + "</div>\n";
}

std::string rule_item(const care::Rule& rule) {
    std::string text =
        fmt::format("{} <span class=\"source\">({})</span>", safe(rule.text), safe(rule.source));
    if (!rule.finding.empty()) text += fmt::format("<span class=\"finding\">{}</span>", safe(rule.finding));
    return tick(text);
}

std::string rule_list(const Sheet& sheet, bool that_may_forbid) {
    std::string items;
    for (const care::Rule& rule : sheet.rules) {
        if (rule.may_forbid == that_may_forbid) items += rule_item(rule);
    }
    return items.empty() ? items : "<ul>\n" + items + "</ul>\n";
}

std::string law(const Sheet& sheet) {
    const std::string items = rule_list(sheet, true);
    if (items.empty()) return "";
    return "<section class=\"law\">\n" + heading("First: may it be sold and sent at all?") + items +
           fmt::format("<p class=\"small\">{}</p>\n</section>\n", safe(care::kRulesChange));
}

std::string times(const Sheet& sheet) {
    std::string text = "<ol class=\"times\">\n";
    for (const SheetTime& time : sheet.times) {
        text +=
            fmt::format("<li>{}{}<span class=\"clock\">{}</span>", kBox, safe(time.what), safe(time.planned));
        if (!time.latest.empty()) text += fmt::format("at the latest {}", safe(time.latest));
        text += "</li>\n";
    }
    return text + "</ol>\n";
}

std::string to_write_down() {
    constexpr std::array<std::array<const char*, 2>, 3> kRows{
        {{"box closed at", "inside, degrees"}, {"packed by", "handed over at"}, {"to", "tracking number"}}};
    std::string text = heading("Write down") + "<div class=\"write\">\n";
    for (const auto& [first, second] : kRows)
        text += fmt::format("<p>{} {} {} {}</p>\n", first, kLine, second, kLine);
    return text + "</div>\n";
}

std::string steps(const Sheet& sheet) {
    std::string text = "<section>\n" + heading("Pack, in this order") + "<ol>\n";
    for (std::size_t i = 0; i < sheet.steps.size(); ++i) {
        text += tick(
            fmt::format("{}. <b>{}</b>: {}", i + 1, safe(sheet.steps[i].title), safe(sheet.steps[i].text)));
    }
    return text + "</ol>\n" + to_write_down() + "</section>\n";
}

std::string address(std::string_view title, const std::vector<std::string>& lines) {
    std::string text = fmt::format("<div><p class=\"small\">{}</p>", title);
    for (const std::string& line : lines)
        text += line.empty() ? fmt::format("<p>{}</p>", kLine) : fmt::format("<p>{}</p>", safe(line));
    return text + "</div>\n";
}

std::string outside(const Sheet& sheet) {
    std::string text = "<section>\n" + heading("Label and outside") + "<div class=\"label\">\n" +
                       address("From", sheet.shipper) + address("To", sheet.consignee) + "</div>\n<ul>\n";
    text += tick("list of contents: " + safe(sheet.contents_list));
    for (const std::string& mark : sheet.marks) text += tick(safe(mark));
    return text + "</ul>\n";
}

std::string papers(const Sheet& sheet) {
    const std::string items = rule_list(sheet, false);
    return (items.empty() ? "" : heading("Papers: ask before you ship") + items) + "</section>\n";
}

std::string animals(const Sheet& sheet) {
    std::string text = heading("Look at each animal: one that fails stays home") +
                       "<table class=\"animals\"><tr><th>animal</th>";
    for (const std::string& check : sheet.checks) text += fmt::format("<th>{}</th>", safe(check));
    text +=
        "<th>in the order</th><th>today, g</th><th class=\"wide\">last fed</th><th class=\"wide\">last "
        "soaked</th></tr>\n";
    for (const SheetAnimal& animal : sheet.each_animal) {
        text += fmt::format("<tr><td class=\"name\">{}</td>", safe(animal.name));
        for (std::size_t i = 0; i < sheet.checks.size(); ++i) text += fmt::format("<td>{}</td>", kBox);
        text += fmt::format("<td class=\"order\">{}{}</td><td></td><td></td><td></td></tr>\n",
                            safe(animal.mass), animal.shell.empty() ? "" : ", shell " + safe(animal.shell));
    }
    return text + "</table>\n";
}

std::string mind(const Sheet& sheet) {
    std::string text = heading("Mind") + "<ul class=\"mind\">\n";
    for (const care::Advice& caution : sheet.cautions)
        text += fmt::format("<li>{}</li>\n", safe(caution.text));
    return text + "</ul>\n";
}

}  // namespace

std::string sheet_html(const Sheet& sheet) {
    return fmt::format(
               "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n"
               "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src "
               "'unsafe-inline'\"/>\n"
               "<meta name=\"viewport\" content=\"width=device-width\"/>\n<title>Packing sheet {}</title>\n"
               "<style>{}</style>\n</head>\n<body>\n",
               safe(sheet.number), kStyle) +
           head(sheet) + alarms(sheet) + law(sheet) + facts(sheet) + times(sheet) + animals(sheet) +
           "<div class=\"columns\">\n" + steps(sheet) + outside(sheet) + papers(sheet) + "</div>\n" +
           mind(sheet) + "</body>\n</html>\n";
}

}  // namespace mildway::reports
