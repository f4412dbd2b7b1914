// Tables as text: RFC 4180, and what programs in countries with a decimal comma make of it.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace mildway {

/// Beyond these a file is refused.
struct CsvLimits {
    std::size_t records = 1'000'000;
    std::size_t cells = 256;         ///< of one record
    std::size_t cell_bytes = 65536;  ///< of one cell
};

/// What every cell of a file follows.
struct CsvFormat {
    char separator = ',';
    CsvLimits limits = {};
};

struct CsvRecord {
    int line = 0;  ///< where it begins, from 1
    std::vector<std::string> cells;
    bool ended = false;  ///< by a line end, not by the end of the file
};

/// Text without a byte order mark. Throws InputError naming `file` when it is empty, is UTF-16 or holds a
/// zero byte.
[[nodiscard]] std::string_view csv_text(const std::string& file, std::string_view bytes);

/// Of semicolon, tab and comma the one that stands most often outside quotes in a line of names; with equal
/// counts in this order, the comma when there is none.
[[nodiscard]] char csv_separator(std::string_view header_line);

/// Records one after the other. Quoted cells may hold separators, line ends and doubled quotes; lines end in
/// LF, CRLF or CR; empty lines are passed over. Keeps a view of `text`, which must outlive it.
class CsvReader {
public:
    /// `file` and lines counted from `first_line` are used in messages.
    CsvReader(std::string file, std::string_view text, CsvFormat format, int first_line = 1);

    /// False at the end. Throws InputError, naming the line, when a quote is never closed, when text stands
    /// beside a quoted cell or a quote inside a bare one, and beyond the limits.
    [[nodiscard]] bool next(CsvRecord& record);

private:
    void read_cell(std::string& cell);
    void read_quoted(std::string& cell);
    void take_line_end();
    void append(std::string& cell, char c) const;
    [[nodiscard]] bool at_line_end() const;
    [[noreturn]] void fail(int line, const std::string& expectation) const;

    std::string file_;
    std::string_view text_;
    CsvFormat format_;
    std::size_t at_ = 0;
    int line_;
    std::size_t records_ = 0;
};

/// A whole cell as a number, blanks around it allowed; with `decimal_comma` a comma may stand for the point.
/// Empty when it is not a finite number.
[[nodiscard]] std::optional<double> parse_decimal(std::string_view text, bool decimal_comma);

/// Without blanks, tabs and line ends at both ends.
[[nodiscard]] std::string_view trimmed(std::string_view text);

}  // namespace mildway
