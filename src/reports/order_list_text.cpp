#include "mildway/orders/order_fields.hpp"
#include "mildway/reports/order_list.hpp"

#include "layout.hpp"
#include "order_words.hpp"
#include "words.hpp"

#include <algorithm>
#include <array>
#include <deque>
#include <map>
#include <string_view>
#include <utility>

#include <fmt/format.h>

namespace mildway::reports {

using orders::State;

namespace {

constexpr std::array kSections{State::open, State::planned, State::handed_over, State::arrived,
                               State::cancelled};
constexpr std::size_t kColumnCount = 6;
/// Columns that are cut when a line is too wide: buyer, animals, place, and what is left over; no narrower
/// than this.
constexpr std::size_t kNarrowest = 8;

struct Line {
    State state = State::open;
    bool flagged = false;
    std::array<std::string_view, kColumnCount> cells;  ///< number, buyer, animals, place, when, how
};

/// Words that many orders share, each made once.
class SharedWords {
public:
    explicit SharedWords(const care::SpeciesTable& species) : species_(&species) {}

    std::string_view day(Date day) {
        return made(days_, date::sys_days(day).time_since_epoch().count(), [&] { return format_day(day); });
    }
    std::string_view animals(int count, const std::string& species) {
        return made(animals_, std::pair(species, count),
                    [&] { return counted_species(static_cast<std::size_t>(count), *species_, species); });
    }
    std::string_view verdict(Verdict verdict, Side side) {
        return made(verdicts_, std::pair(verdict, side), [&] { return verdict_words(verdict, side); });
    }
    /// Words of one order alone.
    std::string_view keep(std::string words) { return others_.emplace_back(std::move(words)); }

private:
    template <class Key, class Make>
    static std::string_view made(std::map<Key, std::string>& known, const Key& key, Make make) {
        const auto at = known.find(key);
        return at != known.end() ? at->second : known.emplace(key, make()).first->second;
    }

    const care::SpeciesTable* species_;
    std::map<int, std::string> days_;
    std::map<std::pair<std::string, int>, std::string> animals_;
    std::map<std::pair<Verdict, Side>, std::string> verdicts_;
    std::deque<std::string> others_;
};

std::string arrived_day(const orders::OrderLine::Arrival& arrival) {
    return format_day(local_date(find_zone(arrival.zone), arrival.at));
}

/// The day it is due rests on the planned day: handed over on another, or after the cut-off, nobody knows.
bool off_plan(const orders::OrderLine& order, const date::time_zone* counter) {
    if (!order.handed_over || !order.cut_off || !order.ship_date) return true;
    if (counter == nullptr) return *order.handed_over > *order.cut_off;
    return orders::days_off_plan(*order.ship_date, *order.cut_off, *order.handed_over, *counter) != 0;
}

Line line_of(const orders::OrderLine& order, SharedWords& words, const date::time_zone* counter) {
    Line line{order.state,
              order.flagged,
              {order.number, order.buyer.empty() ? "-" : std::string_view(order.buyer),
               words.animals(order.animals, order.species), order.destination, "", ""}};
    auto& when = line.cells[4];
    auto& how = line.cells[5];
    switch (order.state) {
        case State::open:
            when = words.keep(order.proposed && !order.proposed->empty()
                                  ? "proposed " + days_text(*order.proposed)
                                  : wanted_text(order.earliest_arrival, order.latest_arrival));
            break;
        case State::planned:
            if (order.ship_date) when = words.day(*order.ship_date);
            if (order.verdict) how = words.verdict(*order.verdict, order.side);
            break;
        case State::handed_over:
            if (off_plan(order, counter)) {
                when = "off plan";
            } else if (order.delivery_date) {
                when = words.day(*order.delivery_date);
            }
            break;
        case State::arrived:
            if (!order.arrival) break;
            when = words.keep(arrived_day(*order.arrival));
            how = words.keep(fmt::format("{} of {} alive", order.arrival->alive, order.animals));
            break;
        case State::cancelled:
            break;
    }
    return line;
}

using Widths = std::array<std::size_t, kColumnCount>;

std::size_t whole(const Widths& widths) {
    std::size_t sum = 1;  // the flag
    for (const std::size_t width : widths) sum += 1 + width;
    return sum;
}

/// As wide as what is in them; the widest of those that may be cut gives way until a line fits.
Widths widths_of(const std::vector<Line>& lines) {
    Widths widths{6, 5, 7, 2, 6, 0};
    for (const Line& line : lines) {
        for (std::size_t i = 0; i < kColumnCount; ++i)
            widths.at(i) = std::max(widths.at(i), display_width(line.cells.at(i)));
    }
    widths[0] = std::min<std::size_t>(widths[0], 14);
    widths[4] = std::min<std::size_t>(widths[4], 24);
    while (whole(widths) > kColumns) {
        auto* const widest = std::max_element(widths.begin() + 1, widths.begin() + 4);
        if (*widest <= kNarrowest) break;
        --*widest;
    }
    return widths;
}

void add_line(std::string& text, char flag, const std::array<std::string_view, kColumnCount>& cells,
              const Widths& widths) {
    text += flag;
    for (std::size_t i = 0; i < kColumnCount; ++i) {
        text += ' ';
        add_fitted(text, cells.at(i), widths.at(i));
    }
    text.erase(text.find_last_not_of(' ') + 1);
    text += '\n';
}

std::string_view heading(State state) {
    switch (state) {
        case State::open:
            return "Wanted";
        case State::planned:
            return "Ships";
        case State::handed_over:
            return "Due";
        case State::arrived:
            return "Came";
        case State::cancelled:
            return "";
    }
    return "";
}

}  // namespace

std::string order_list_text(const std::vector<orders::OrderLine>& listed, const care::SpeciesTable& species,
                            const date::time_zone* counter) {
    if (listed.empty()) return "No such orders. A new one: mildway order add --help\n";
    std::vector<Line> lines;
    lines.reserve(listed.size());
    SharedWords words(species);
    for (const orders::OrderLine& order : listed) lines.push_back(line_of(order, words, counter));
    const Widths widths = widths_of(lines);
    std::string text;
    text.reserve(lines.size() * (kColumns + 1));
    std::string counts;
    for (const State state : kSections) {
        const auto count =
            std::count_if(lines.begin(), lines.end(), [&](const Line& line) { return line.state == state; });
        if (count == 0) continue;
        counts += fmt::format("{}{} {}", counts.empty() ? "" : ", ", count, state_words(state));
        text += fmt::format("{}{}\n", text.empty() ? "" : "\n", capitalised(state_words(state)));
        add_line(
            text, ' ',
            {"Number", "Buyer", "Animals", "To", heading(state), state == State::planned ? "Verdict" : ""},
            widths);
        for (const Line& line : lines) {
            if (line.state == state) add_line(text, line.flagged ? '!' : ' ', line.cells, widths);
        }
    }
    text += fmt::format("\n{} order{}: {}.\n", lines.size(), lines.size() == 1 ? "" : "s", counts);
    const auto flagged =
        std::count_if(lines.begin(), lines.end(), [](const Line& line) { return line.flagged; });
    if (flagged > 0)
        text += fmt::format("{} marked ! by the last check: see mildway order show NUMBER\n", flagged);
    return text;
}

}  // namespace mildway::reports
