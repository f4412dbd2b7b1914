// A small world for tables of orders: three species, two services, every place text that begins with "P".
#pragma once

#include "mildway/base/errors.hpp"
#include "mildway/orders/order_import.hpp"

#include <algorithm>
#include <random>
#include <string>
#include <vector>

namespace mildway::testing {

inline orders::FieldHelp table_help() {
    orders::FieldHelp help;
    const auto known = [](const char* kind, std::vector<std::string> names) {
        return [kind, names = std::move(names)](const std::string& name) {
            if (std::find(names.begin(), names.end(), name) == names.end())
                throw UsageError(unknown_name_message(kind, name, names));
            return name;
        };
    };
    help.species = known("species", {"corn-snake", "crested-gecko", "dart-frog"});
    help.service = known("service", {"night-air", "night-air+held", "road"});
    help.place = [](const std::string& text, const std::string& zone) {
        if (!text.starts_with("P") && !text.starts_with("="))
            throw UsageError("no place is called '" + text + "'");
        Place place;
        place.name = text;
        place.latitude_deg = 40 + static_cast<double>(text.size()) / 10;
        place.longitude_deg = -90;
        place.zone = zone.empty() ? "America/Chicago" : zone;
        return place;
    };
    return help;
}

/// What reading and planning an import makes of a text, for a book with `known`.
inline orders::ImportPlan import_of(const std::string& text, const std::vector<orders::Order>& known = {}) {
    return orders::plan_import(orders::read_order_table("orders.csv", text), known, table_help(),
                               TemperatureScale::celsius);
}

inline std::string faults_of(const orders::ImportPlan& plan) {
    return orders::fault_list(plan.file, plan.faults);
}

/// An order with much of it told, by chance. Text begins and ends without blanks, as any entered text does.
class RandomOrders {
public:
    explicit RandomOrders(unsigned seed) : random_(seed) {}

    orders::Order order(int index) {
        orders::Order order;
        order.number = "N-" + std::to_string(index);
        order.buyer = {text(false), maybe() ? "b" + std::to_string(index) + "@example.org" : "", text(true),
                       maybe() ? TemperatureScale::fahrenheit : TemperatureScale::celsius};
        order.destination = "P" + text(false);
        while (order.destination.back() == ' ') order.destination.pop_back();
        order.place = table_help().place(order.destination, maybe() ? "America/Denver" : "");
        order.species = maybe() ? "corn-snake" : "dart-frog";
        const int animals = below(12) + 1;
        for (int i = 0; i < animals; ++i) order.animals.push_back(animal());
        if (maybe()) order.value_usd = below(100000) / 100.0;
        if (maybe()) order.earliest_arrival = day(0);
        if (maybe()) order.latest_arrival = day(40);
        if (maybe()) order.buyer_away = {{day(50), day(55)}, {day(60), day(60)}};
        if (maybe()) order.services = {"road", "night-air+held"};
        order.note = text(true);
        return order;
    }

    /// Characters that spreadsheets, CSV and JSON find hard, and some that are not ASCII.
    std::string text(bool lines) {
        static const std::vector<std::string> kPieces{
            "=",  "+",   "-",          "@",  "'",  "\"",       ",",
            ";",  " ",   "a",          "7",  "''", "\xC3\xA9", "\xEF\xBC\x9D",
            "\\", "x y", "2027-03-01", "1E5"};
        std::string text;
        const int length = below(7);
        for (int i = 0; i < length; ++i) {
            const int at = below(static_cast<int>(kPieces.size()) + (lines ? 1 : 0));
            text += at == static_cast<int>(kPieces.size()) ? "\n" : kPieces.at(static_cast<std::size_t>(at));
        }
        const auto first = text.find_first_not_of(" \n");
        return first == std::string::npos ? "" : text.substr(first, text.find_last_not_of(" \n") - first + 1);
    }

    /// Any bytes but zero.
    std::string bytes() {
        std::string text;
        const int length = below(6);
        for (int i = 0; i < length; ++i) text += static_cast<char>(1 + below(255));
        return text;
    }

private:
    int below(int end) { return static_cast<int>(random_() % static_cast<unsigned>(end)); }
    bool maybe() { return below(2) == 0; }
    static Date day(int plus) {
        using namespace date::literals;
        return date::year_month_day{date::sys_days{2027_y / 3 / 1} + date::days(plus)};
    }
    orders::Animal animal() {
        orders::Animal one;
        if (maybe()) one.mark = "m" + text(false);
        while (!one.mark.empty() && one.mark.back() == ' ') one.mark.pop_back();
        if (maybe()) one.mass_g = 1 + below(1000) / 7.0;
        if (maybe()) one.shell_mm = 10 + below(10);
        return one;
    }

    std::mt19937 random_;
};

/// As it stands in a table.
inline std::string row_text(const orders::Order& order) {
    std::string text = order.number;
    for (std::size_t i = 0; i < orders::kFieldCount; ++i)
        text += "|" + orders::field_text(order, static_cast<orders::Field>(i));
    return text + "|" + orders::animals_text(order.animals);
}

}  // namespace mildway::testing
