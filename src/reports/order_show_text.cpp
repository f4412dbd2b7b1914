#include "mildway/orders/order_fields.hpp"
#include "mildway/reports/order_show.hpp"

#include "better_words.hpp"
#include "layout.hpp"
#include "order_words.hpp"
#include "words.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::reports {

using orders::Choice;
using orders::Order;
using orders::Reassessment;

namespace {

constexpr std::size_t kLabel = 12;

/// "  Label     text", broken below the text.
void add(std::string& all, std::string_view label, const std::string& text) {
    if (!text.empty()) all += lines_of("  " + fit(label, kLabel), text);
}

std::string at_home(const OrderReader& reader, Instant when) {
    return format_local(*reader.zone, when);
}

std::string degrees(const OrderReader& reader, double temp_c) {
    return reader.scale == TemperatureScale::fahrenheit ? fmt::format("{:.0f} °F", temp_c * 1.8 + 32)
                                                        : fmt::format("{:.1f} °C", temp_c);
}

std::string buyer_text(const orders::Buyer& buyer) {
    std::string text = buyer.name;
    if (!buyer.email.empty()) text += fmt::format("{}<{}>", text.empty() ? "" : " ", buyer.email);
    if (text.empty()) return "";
    return text + (buyer.scale == TemperatureScale::fahrenheit ? ", reads °F" : ", reads °C");
}

std::string place_text(const Order& order) {
    const std::string found =
        order.place.name == order.destination ? "" : fmt::format(", taken as {}", order.place.name);
    return fmt::format("{}{} ({}), clock {}", order.destination, found, format_coordinates(order.place),
                       order.place.zone);
}

std::string animals_line(const Order& order, const std::string& species) {
    const std::string told = orders::animals_text(order.animals);
    const std::string count = fmt::format("{}", order.animals.size());
    return fmt::format("{} x {}{}", count, species, told == count ? "" : ": " + told);
}

std::string away_text(const Order& order) {
    std::string text;
    for (const auto& range : order.buyer_away) text += (text.empty() ? "" : "; ") + range_words(range);
    return text;
}

std::string joined(const std::vector<std::string>& words) {
    std::string text;
    for (const auto& word : words) text += (text.empty() ? "" : ", ") + word;
    return text;
}

std::string wishes(const OrderFile& file, const OrderReader& reader) {
    const Order& order = file.order;
    std::string all;
    add(all, "Buyer", buyer_text(order.buyer));
    add(all, "Address", order.buyer.address);
    add(all, "To", place_text(order));
    add(all, "Animals", animals_line(order, reader.species));
    add(all, "Value", order.value_usd ? usd_text(*order.value_usd) : "");
    add(all, "Arrival", wanted_text(order));
    add(all, "Buyer away", away_text(order));
    add(all, "Only by", joined(order.services));
    add(all, "Note", order.note);
    add(all, "Entered", at_home(reader, order.entered));
    return all;
}

std::string figures(const std::optional<double>& hours, const std::optional<double>& outside,
                    const std::optional<double>& harm) {
    if (!hours || !outside || !harm) return "no figures: the weather was not known";
    return fmt::format(
        "{:.1f} h expected outside safe; more than 30 minutes outside: {}; past a harm limit: {}", *hours,
        chance_text(*outside), chance_text(*harm));
}

std::string choice_lines(const Order& order, const OrderReader& reader) {
    const Choice& choice = *order.choice;
    const date::time_zone& there = find_zone(order.place.zone);
    std::string all = fmt::format("\nPlan {}, chosen {} by '{}'\n", choice.version,
                                  at_home(reader, choice.chosen), choice.chosen_by);
    add(all, "Ships",
        fmt::format("{}, {} ({}), {}", format_day(choice.ship_date), choice.service_label,
                    choice.carrier_label, choice.packing_label));
    add(all, "Times",
        fmt::format("close the box {}, hand over {}, at the latest {}", at_home(reader, choice.packed),
                    format_local_clock(*reader.zone, choice.handed_over),
                    format_local_clock(*reader.zone, choice.cut_off)));
    add(all, "Arrives",
        fmt::format("by {} there{}", format_local(there, choice.promised),
                    choice.held ? ", held at a counter for the buyer" : ""));
    add(all, "Verdict",
        verdict_words(choice.verdict, choice.side) + "; " +
            figures(choice.hours_outside, choice.chance_outside, choice.chance_harm));
    add(all, "Cost", usd_text(choice.cost_usd));
    add(all, "Weather", fmt::format("issued {}", at_home(reader, choice.weather_issued)));
    return all;
}

std::string proposal_lines(const Order& order, const OrderReader& reader) {
    const auto& proposal = *order.proposal;
    std::string all = fmt::format("\nProposed to the buyer {} (proposal {})\n",
                                  at_home(reader, proposal.made), proposal.version);
    if (proposal.days.empty()) all += "  no day\n";
    for (const auto& day : proposal.days)
        all += fmt::format("  ships {}, arrives {}: {}\n", format_day(day.ship_date),
                           format_day(day.arrival_date), verdict_name(day.verdict));
    return all;
}

/// "Thu 4 Mar is 1.5 h better"; without the hours where they are not why.
std::string better_text(const Reassessment& found, const std::vector<Choice>& choices) {
    constexpr double kTooLittleToTellH = 0.05;
    const auto of = std::find_if(choices.begin(), choices.end(), [&](const Choice& choice) {
        return choice.version == found.choice_version;
    });
    const std::string day =
        of == choices.end() ? format_day(*found.better_day) : better_day_words(found, *of);
    return found.better_by_hours < kTooLittleToTellH
               ? day + " is better"
               : fmt::format("{} is {:.1f} h better", day, found.better_by_hours);
}

std::string reassessment_lines(const OrderFile& file, const OrderReader& reader) {
    std::string all = "\nChecks since\n";
    for (const Reassessment& one : file.reassessments) {
        std::string text = verdict_words(one.standing, one.side);
        if (one.standing != one.verdict) text += fmt::format(" (today alone: {})", verdict_name(one.verdict));
        if (one.trouble.empty() || one.hours_outside)
            text += "; " + figures(one.hours_outside, one.chance_outside, one.chance_harm);
        if (!one.trouble.empty()) text += "; cannot go as planned: " + one.trouble;
        if (one.better_day) text += "; " + better_text(one, file.choices);
        if (!one.sentence.empty()) text += ". Said then: " + one.sentence;
        all += lines_of(fmt::format("{} {}  ", one.flagged ? "!" : " ", at_home(reader, one.made)), text);
    }
    return all;
}

std::string outcome_lines(const OrderFile& file, const OrderReader& reader) {
    const orders::Outcome& outcome = *file.outcome;
    std::string all = "\nArrived\n";
    add(all, "When",
        fmt::format("{} there", format_local(find_zone(file.order.place.zone), outcome.arrived)));
    add(all, "Animals",
        fmt::format("{} of {} alive, {} of them well", outcome.alive, file.order.animals.size(),
                    outcome.well));
    add(all, "In the box", outcome.inside_c ? degrees(reader, *outcome.inside_c) : "");
    add(all, "Logger", outcome.logger_name);
    add(all, "Note", outcome.note);
    return all;
}

/// Times in an event's own text are those of the machine; the event's is enough where it is nothing else.
std::string event_text(const orders::Event& event) {
    if (event.text.empty() || parse_instant(event.text)) return event.kind;
    return event.kind + ": " + event.text;
}

}  // namespace

std::string order_show_text(const OrderFile& file, const OrderReader& reader) {
    const Order& order = file.order;
    std::string all = fmt::format("{}: {}\n", order.number, state_words(order.state));
    all += wishes(file, reader);
    if (order.proposal) all += proposal_lines(order, reader);
    if (order.choice) all += choice_lines(order, reader);
    if (!file.reassessments.empty()) all += reassessment_lines(file, reader);
    if (order.handed_over) {
        all += "\nHanded over\n";
        add(all, "When", at_home(reader, *order.handed_over));
    }
    if (file.outcome) all += outcome_lines(file, reader);
    all += "\nWhat happened\n";
    for (const auto& event : file.events)
        all += lines_of(fmt::format("  {}  ", at_home(reader, event.at)), event_text(event));
    return all;
}

}  // namespace mildway::reports
