// Orders as a table: CSV in any order of columns, in and out.
//
// A row tells of alike animals of one order: `count` says how many (1 when it is empty); further rows with
// the same number tell of further animals of it. An empty cell tells nothing; a dash ("-") clears.
#pragma once

#include "mildway/orders/order_fields.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace mildway::orders {

struct TableFault {
    int line = 0;
    std::string column;  ///< empty: of the whole line
    std::string says;
};

/// Alike animals, as one row tells of them.
struct TableAnimals {
    int line = 0;
    int count = 0;  ///< 0: not told
    AnimalTexts texts;
};

struct TableOrder {
    int line = 0;  ///< of its first row
    std::string number;
    FieldTexts texts;  ///< of all its rows together
    std::vector<TableAnimals> animals;

    /// The line on which a field is told.
    [[nodiscard]] int line_of(std::string_view field) const;
    std::vector<std::pair<std::string, int>> lines;
};

/// What a file says, not yet held against a workspace or a book.
struct OrderTable {
    std::string file;
    std::vector<std::string> columns;  ///< ours, that it has
    bool decimal_comma = false;
    std::vector<TableOrder> orders;
    std::vector<TableFault> faults;

    [[nodiscard]] bool has(std::string_view column) const;
};

/// Every column there is, in the order of an export; those that import passes over, because the program and
/// not a person sets them, are the last.
[[nodiscard]] const std::vector<std::string>& table_columns();

/// Comma, semicolon or tab between cells, whichever the header has. Faults of rows are gathered; throws
/// InputError when the bytes are no text, or hold no header.
[[nodiscard]] OrderTable read_order_table(const std::string& file, std::string_view bytes);

/// RFC 4180: commas, CRLF, quotes where they are needed; UTF-8, with a byte order mark when there is more
/// than ASCII. No cell begins with what a spreadsheet takes for a formula (guarded_cell).
[[nodiscard]] std::string write_order_table(const std::vector<Order>& orders);

/// With an apostrophe before text that begins with what a spreadsheet may take for a formula, or with such an
/// apostrophe itself; no other text is changed. As OWASP's page "CSV Injection" says.
[[nodiscard]] std::string guarded_cell(std::string_view text);
/// Takes the apostrophe off again.
[[nodiscard]] std::string_view unguarded_cell(std::string_view cell);

/// Sentences with file, line and column, up to a number that a person can read; "and 12 more".
[[nodiscard]] std::string fault_list(const std::string& file, const std::vector<TableFault>& faults);

}  // namespace mildway::orders
