#include "order_words.hpp"

#include "mildway/base/text.hpp"
#include "mildway/orders/order_fields.hpp"

#include "layout.hpp"
#include "words.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::reports {

std::string range_words(const orders::DateRange& range) {
    if (range.from == range.until) return format_day(range.from);
    const std::string from = format_day(range.from);
    const bool one_month = range.from.month() == range.until.month();
    return (one_month ? from.substr(0, from.rfind(' ')) : from) + " to " + format_day(range.until);
}

std::string wanted_text(const std::optional<Date>& earliest, const std::optional<Date>& latest) {
    if (earliest && latest) return range_words({*earliest, *latest});
    if (earliest) return "from " + format_day(*earliest);
    if (latest) return "by " + format_day(*latest);
    return "any day";
}

std::string wanted_text(const orders::Order& order) {
    return wanted_text(order.earliest_arrival, order.latest_arrival);
}

std::string counted_species(std::size_t count, const care::SpeciesTable& species, const std::string& id) {
    return fmt::format("{} x {}", count, species.common_name(id));
}

std::string counted_species(const orders::Order& order, const care::SpeciesTable& species) {
    return counted_species(order.animals.size(), species, order.species);
}

std::string verdict_words(Verdict verdict, Side side) {
    std::string words(verdict_name(verdict));
    if (verdict == Verdict::tight || verdict == Verdict::unsafe) {
        words += ", ";
        words += side_name(side);
    }
    return words;
}

std::string state_words(orders::State state) {
    std::string words(orders::state_name(state));
    std::replace(words.begin(), words.end(), '-', ' ');
    return words;
}

std::string shown_value(const std::string& text) {
    if (text.empty()) return "(none)";
    std::string one_line = text;
    std::replace(one_line.begin(), one_line.end(), '\n', '/');
    return one_line;
}

std::string lines_of(const std::string& first, const std::string& text) {
    std::string all;
    std::string lead = first;
    const std::size_t room = kColumns - display_width(first);
    std::string_view rest = text;
    while (!rest.empty() || all.empty()) {
        const std::size_t end = std::min(rest.find('\n'), rest.size());
        std::string line;
        std::size_t word = 0;  // columns of the word that is being copied
        for (const char c : rest.substr(0, end)) {
            const bool begins = starts_character(c);
            if (c == ' ') {
                word = 0;
            } else if (begins && word++ == room) {
                line += ' ';
                word = 1;
            }
            line += c;
        }
        all += paragraph(lead, line);
        lead = std::string(display_width(first), ' ');
        rest.remove_prefix(std::min(end + 1, rest.size()));
    }
    return all;
}

}  // namespace mildway::reports
