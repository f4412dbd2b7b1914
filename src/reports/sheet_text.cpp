#include "mildway/reports/sheet.hpp"

#include "layout.hpp"

#include <algorithm>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace mildway::reports {

namespace {

constexpr std::size_t kLongestWord = 60;

/// One line of printable text: control characters become blanks, words too long for a line are broken.
std::string printable(std::string_view text) {
    std::string out;
    std::size_t word = 0;
    for (const char letter : text) {
        const auto byte = static_cast<unsigned char>(letter);
        if (byte < 0x20 || byte == 0x7F || letter == ' ') {
            out += ' ';
            word = 0;
            continue;
        }
        const bool begins = (byte & 0xC0U) != 0x80U;
        if (begins && word == kLongestWord) {
            out += ' ';
            word = 0;
        }
        if (begins) ++word;
        out += letter;
    }
    return out;
}

std::string lines(std::string_view first, std::string_view text) {
    return paragraph(first, printable(text));
}

std::string heading(std::string_view words) {
    return fmt::format("\n{}\n", words);
}

std::string top(const Sheet& sheet) {
    std::string text = lines("", fmt::format("{}: packing sheet of order {}", sheet.breeder, sheet.number));
    text += std::string(kColumns, '=') + "\n";
    text += lines("  Animals  ", fmt::format("{} ({})", sheet.animals, sheet.scientific));
    text += lines("  Lane     ", sheet.lane);
    text += lines("  Ship     ", fmt::format("{}; be at {}", sheet.ship_day, sheet.be_there));
    text += lines("  Service  ", fmt::format("{}; {}", sheet.service, sheet.arrival));
    text += lines("  Packing  ", sheet.packing);
    text += lines("  Verdict  ", sheet.judged + ".");
    text += lines("           ", fmt::format("{}. {}", sheet.assessed, sheet.bounds));
    for (const std::string& remark : sheet.remarks) text += lines("           ", remark);
    return text;
}

std::string alarms(const Sheet& sheet) {
    std::string text;
    for (const std::string& alarm : sheet.alarms) text += lines("  !! ", alarm);
    return text.empty() ? text : heading("STOP AND READ") + text;
}

std::string rule_lines(const care::Rule& rule) {
    std::string text = lines("  [ ] ", fmt::format("{} ({})", rule.text, rule.source));
    if (!rule.finding.empty()) text += lines("   !! ", rule.finding);
    return text;
}

std::string rules(const Sheet& sheet, bool that_may_forbid) {
    std::string text;
    for (const care::Rule& rule : sheet.rules) {
        if (rule.may_forbid == that_may_forbid) text += rule_lines(rule);
    }
    if (text.empty()) return "";
    if (!that_may_forbid) return heading("PAPERS: ASK BEFORE YOU SHIP") + text;
    return heading("FIRST: MAY IT BE SOLD AND SENT AT ALL?") + text + lines("      ", care::kRulesChange);
}

std::string times(const Sheet& sheet) {
    constexpr std::size_t kWhat = 38;
    constexpr std::size_t kWhen = 17;
    std::string text = heading("WHEN") + "      " + fit("", kWhat) + fit("Planned", kWhen) + "Latest\n";
    for (const SheetTime& time : sheet.times) {
        const std::string when = time.latest.empty() ? time.planned : fit(time.planned, kWhen) + time.latest;
        text += "  [ ] " + fit(printable(time.what), kWhat) + when + "\n";
    }
    return text + lines("      ", sheet.clock);
}

std::string steps(const Sheet& sheet) {
    std::string text = heading("PACK, IN THIS ORDER");
    for (std::size_t i = 0; i < sheet.steps.size(); ++i) {
        const SheetStep& step = sheet.steps[i];
        text += lines(fmt::format("  [ ] {}. ", i + 1), fmt::format("{}: {}", step.title, step.text));
    }
    return text;
}

/// Three boxes to a line, in columns.
std::string check_boxes(const std::vector<std::string>& checks) {
    constexpr std::size_t kToALine = 3;
    constexpr std::size_t kWidth = 24;
    std::string text;
    for (std::size_t i = 0; i < checks.size(); ++i) {
        const bool last = i + 1 == checks.size() || (i + 1) % kToALine == 0;
        const std::string box = "[ ] " + checks[i];
        text += (i % kToALine == 0 ? "      " : "") + (last ? box + "\n" : fit(box, kWidth));
    }
    return text;
}

std::string animals(const Sheet& sheet) {
    std::string text = heading("LOOK AT EACH ANIMAL: ONE THAT FAILS STAYS HOME");
    for (const SheetAnimal& animal : sheet.each_animal) {
        const std::string shell = animal.shell.empty() ? "" : ", shell " + animal.shell;
        text += lines(
            "  ", fmt::format("{}: {} in the order{}; today ______ g; fed ____________; soaked ____________",
                              animal.name, animal.mass, shell));
        text += check_boxes(sheet.checks);
    }
    return text;
}

std::string address(std::string_view first, const std::vector<std::string>& of) {
    std::string text;
    for (const std::string& line : of) {
        text += line.empty() ? fmt::format("{}{}\n", std::string(first), std::string(40, '_'))
                             : lines(first, line);
        first = "        ";
    }
    return text;
}

std::string outside(const Sheet& sheet) {
    std::string text = heading("LABEL AND OUTSIDE");
    text += address("  From  ", sheet.shipper) + address("  To    ", sheet.consignee);
    text += lines("  List  ", sheet.contents_list);
    for (const std::string& mark : sheet.marks) text += lines("  [ ] ", mark);
    return text;
}

std::string cautions(const Sheet& sheet) {
    std::string text = heading("MIND");
    for (const care::Advice& caution : sheet.cautions) text += lines("  - ", caution.text);
    return text;
}

std::string to_write_down() {
    return heading("WRITE DOWN") +
           "  Box closed at ________  inside it was ______ degrees  packed by ____________\n"
           "  Handed over at ________  to ________________  tracking number ______________\n";
}

}  // namespace

std::string sheet_text(const Sheet& sheet) {
    return top(sheet) + alarms(sheet) + rules(sheet, true) + times(sheet) + animals(sheet) + steps(sheet) +
           outside(sheet) + rules(sheet, false) + cautions(sheet) + to_write_down();
}

}  // namespace mildway::reports
