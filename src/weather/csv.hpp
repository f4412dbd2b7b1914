// Comma-separated values (RFC 4180), read line by line.
#pragma once

#include <cstddef>
#include <string_view>
#include <vector>

namespace mildway::weather {

/// Fields are views into the text, without their quotes and the blanks around them; a doubled quote inside
/// stays doubled. A quoted field may not span lines.
class CsvLines {
public:
    explicit CsvLines(std::string_view text) : rest_(text) {}

    /// Reads the next line that is not empty into `fields`; false at the end.
    bool next(std::vector<std::string_view>& fields);
    [[nodiscard]] std::size_t line() const { return line_; }  ///< of the fields read last, 1-based

private:
    std::string_view rest_;
    std::size_t line_ = 0;
};

}  // namespace mildway::weather
