#include "mildway/base/csv.hpp"
#include "mildway/base/errors.hpp"
#include "mildway/base/text.hpp"
#include "mildway/orders/order_table.hpp"

#include "order_table_columns.hpp"

#include <algorithm>
#include <map>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace mildway::orders {

namespace {

constexpr std::size_t kMostRows = 50'000;  // a large file is not of one breeder's orders
constexpr std::size_t kMostCells = 64;
constexpr std::size_t kLongestCell = 8192;
constexpr std::size_t kMostTold = 50;

/// "Mass g" as "mass_g".
std::string column_name(std::string_view cell) {
    std::string name = lower_case(trimmed(cell));
    std::replace_if(
        name.begin(), name.end(), [](char c) { return c == ' ' || c == '-'; }, '_');
    return name;
}

/// One record of a table with its header.
class Row {
public:
    Row(const std::vector<std::string>& header, const CsvRecord& record) : header_(header), record_(record) {}

    [[nodiscard]] int line() const { return record_.line; }
    [[nodiscard]] const std::vector<std::string>& header() const { return header_; }
    /// Without blanks around it; with its apostrophe.
    [[nodiscard]] std::string_view cell(std::string_view column) const {
        const auto found = std::find(header_.begin(), header_.end(), column);
        if (found == header_.end()) return {};
        return trimmed(record_.cells[static_cast<std::size_t>(found - header_.begin())]);
    }
    [[nodiscard]] std::string text(std::string_view column) const {
        return std::string(unguarded_cell(cell(column)));
    }
    [[nodiscard]] bool empty() const {
        return std::all_of(record_.cells.begin(), record_.cells.end(),
                           [](const std::string& one) { return trimmed(one).empty(); });
    }

private:
    const std::vector<std::string>& header_;
    const CsvRecord& record_;
};

class Reading {
public:
    explicit Reading(OrderTable& table) : table_(table) {}

    void read(std::string_view text);

private:
    void read_header(const CsvRecord& record);
    void read_row(const Row& row);
    void take_fields_of(const Row& row, TableOrder& order);
    void take_animals_of(const Row& row, TableOrder& order);
    void fault(int line, std::string_view column, std::string says) {
        table_.faults.push_back({line, std::string(column), std::move(says)});
    }

    OrderTable& table_;
    std::vector<std::string> header_;
    std::map<std::string, std::size_t> by_number_;  ///< in lower case
};

void Reading::read_header(const CsvRecord& record) {
    const auto& known = table_columns();
    for (const auto& cell : record.cells) {
        const std::string name = column_name(cell);
        const std::string shown(trimmed(cell));
        if (std::find(known.begin(), known.end(), name) == known.end()) {
            const std::string near = nearest_name(name, known);
            fault(record.line, shown,
                  near.empty() ? fmt::format("is no column of orders; known: {}", fmt::join(known, ", "))
                               : fmt::format("is no column of orders; did you mean '{}'?", near));
        } else if (std::find(header_.begin(), header_.end(), name) != header_.end()) {
            fault(record.line, shown, "stands twice");
        }
        header_.push_back(name);
    }
    if (std::find(header_.begin(), header_.end(), kNumberColumn) == header_.end())
        fault(record.line, kNumberColumn, "is missing; it tells which order a row is of");
    table_.columns = header_;
}

void Reading::take_fields_of(const Row& row, TableOrder& order) {
    for (std::size_t i = 0; i < kFieldCount; ++i) {
        const auto field = static_cast<Field>(i);
        const std::string_view cell = row.cell(field_name(field));
        if (cell.empty()) continue;
        const std::string text = cell == "-" ? "" : std::string(unguarded_cell(cell));
        const auto told = std::find_if(order.texts.begin(), order.texts.end(),
                                       [&](const auto& one) { return one.first == field; });
        if (told == order.texts.end()) {
            order.texts.emplace_back(field, text);
            order.lines.emplace_back(field_name(field), row.line());
        } else if (told->second != text) {
            fault(row.line(), field_name(field),
                  fmt::format("'{}' is not what line {} says of the same order, '{}'", text,
                              order.line_of(field_name(field)), told->second));
        }
    }
}

void Reading::take_animals_of(const Row& row, TableOrder& order) {
    TableAnimals animals{
        row.line(), 0, {row.text(kMarkColumn), row.text(kMassColumn), row.text(kShellColumn)}};
    if (const std::string_view cell = row.cell(kCountColumn); !cell.empty()) {
        const auto count = parse_decimal(cell, table_.decimal_comma);  // too small for a mark of thousands
        animals.count = count ? static_cast<int>(std::clamp(*count, 0.0, kMostAnimals + 1.0)) : 0;
        if (!count || *count != animals.count || animals.count < 1 || animals.count > kMostAnimals) {
            fault(row.line(), kCountColumn,
                  fmt::format("'{}' is not a whole number from 1 to {}", cell, kMostAnimals));
        }
    }
    order.animals.push_back(std::move(animals));
}

void Reading::read_row(const Row& row) {
    const std::string number = row.text(kNumberColumn);
    const std::string wrong = number_fault(number);
    if (!wrong.empty()) {  // the other cells may be wrong, too: an order by itself, never written
        fault(row.line(), kNumberColumn, wrong);
        TableOrder& order = table_.orders.emplace_back();
        order.line = row.line();
        take_fields_of(row, order);
        take_animals_of(row, order);
        return;
    }
    const auto [at, is_new] = by_number_.try_emplace(lower_case(number), table_.orders.size());
    if (is_new) {
        TableOrder& order = table_.orders.emplace_back();
        order.line = row.line();
        order.number = number;
    }
    TableOrder& order = table_.orders[at->second];
    take_fields_of(row, order);
    take_animals_of(row, order);
}

void Reading::read(std::string_view text) {
    const char separator = csv_separator(text.substr(0, text.find_first_of("\r\n")));
    table_.decimal_comma = separator != ',';
    CsvReader reader(table_.file, text, {separator, {kMostRows + 1, kMostCells, kLongestCell}});
    CsvRecord record;
    if (!reader.next(record)) throw InputError(table_.file, "", 0, "is empty; expected a header");
    read_header(record);
    if (!table_.has(kNumberColumn)) return;
    const std::size_t width = header_.size();
    while (reader.next(record)) {
        const Row row(header_, record);
        if (row.empty()) continue;
        if (record.cells.size() != width) {
            fault(record.line, "",
                  fmt::format("has {} cells; the header has {}", record.cells.size(), width));
        } else {
            read_row(row);
        }
    }
}

}  // namespace

int TableOrder::line_of(std::string_view field) const {
    const auto found =
        std::find_if(lines.begin(), lines.end(), [&](const auto& one) { return one.first == field; });
    return found == lines.end() ? line : found->second;
}

bool OrderTable::has(std::string_view column) const {
    return std::find(columns.begin(), columns.end(), column) != columns.end();
}

const std::vector<std::string>& table_columns() {
    static const std::vector<std::string> all = [] {
        std::vector<std::string> names{std::string(kNumberColumn)};
        for (std::size_t i = 0; i < kFieldCount; ++i) names.emplace_back(field_name(static_cast<Field>(i)));
        for (const auto column : {kCountColumn, kMarkColumn, kMassColumn, kShellColumn})
            names.emplace_back(column);
        for (const char* told : {"state", "planned_ship_date", "planned_arrival", "planned_service",
                                 "planned_packing", "planned_verdict"})
            names.emplace_back(told);
        return names;
    }();
    return all;
}

OrderTable read_order_table(const std::string& file, std::string_view bytes) {
    OrderTable table;
    table.file = file;
    const std::string_view text = csv_text(file, bytes);
    try {
        Reading(table).read(text);
    } catch (const InputError& error) {  // not a table from here on; what was found before is told with it
        if (table.faults.empty()) throw;
        table.faults.push_back({error.line(), "", "is not readable from here on"});
    }
    return table;
}

std::string fault_list(const std::string& file, const std::vector<TableFault>& faults) {
    std::vector<TableFault> sorted = faults;
    std::stable_sort(sorted.begin(), sorted.end(),
                     [](const TableFault& a, const TableFault& b) { return a.line < b.line; });
    std::string text;
    for (std::size_t i = 0; i < std::min(sorted.size(), kMostTold); ++i) {
        const TableFault& fault = sorted[i];
        text += fmt::format("{}{}:{}: {}{}", i == 0 ? "" : "\n", file, fault.line,
                            fault.column.empty() ? "" : fault.column + ": ", fault.says);
    }
    if (sorted.size() > kMostTold) text += fmt::format("\nand {} more", sorted.size() - kMostTold);
    return text;
}

}  // namespace mildway::orders
