#include "logger_rows.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/text.hpp"

#include "column_words.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace mildway::learning {

namespace {

constexpr double kMillisecondsFrom = 1e11;  // as seconds this would be the year 5138

/// What loggers write in place of a value.
bool is_no_value(std::string_view text) {
    const std::string word = lower_case(trimmed(text));
    if (word.find_first_not_of('-') == std::string::npos) return true;  // also the empty cell
    constexpr std::array<std::string_view, 8> kWords{"nan",  "n/a", "na",    "null",
                                                     "none", "err", "error", "#n/a"};
    return std::find(kWords.begin(), kWords.end(), word) != kWords.end();
}

class RowReader {
public:
    RowReader(const std::string& file, const LoggerLayout& layout) : file_(file), layout_(layout) {
        if (layout.inside) out_.units[kInside] = layout.inside->unit;
        if (layout.outside) out_.units[kOutside] = layout.outside->unit;
    }

    LoggerRows read(std::string_view text, std::vector<std::string>& findings) {
        CsvReader reader(file_, text.substr(layout_.data_offset), {layout_.separator}, layout_.data_line);
        CsvRecord record;
        bool first = true;
        while (reader.next(record)) {
            const bool units = first && is_line_of_units(record);
            first = false;
            if (units) continue;
            if (record.ended) {
                add(record);
            } else {
                add_last(record, findings);
            }
        }
        if (out_.rows.empty()) throw InputError(file_, "", 0, "has a header and no readings");
        for (const std::size_t channel : {kInside, kOutside}) tell_missing(channel, findings);
        return std::move(out_);
    }

private:
    [[nodiscard]] const std::optional<TempColumn>& column(std::size_t channel) const {
        return channel == kInside ? layout_.inside : layout_.outside;
    }

    [[noreturn]] void fail(int line, const std::string& expectation) const {
        throw InputError(file_, "", line, expectation);
    }

    /// Some files say the units in a line of their own under the names.
    bool is_line_of_units(const CsvRecord& record) {
        bool any = false;
        for (const std::size_t channel : {kInside, kOutside}) {
            if (!column(channel) || column(channel)->index >= record.cells.size()) continue;
            const std::string& cell = record.cells[column(channel)->index];
            const auto unit = unit_in(cell);
            if (!unit || std::any_of(cell.begin(), cell.end(), [](char c) { return c >= '0' && c <= '9'; }))
                continue;
            out_.units.at(channel) = unit;
            any = true;
        }
        return any;
    }

    void add_last(const CsvRecord& record, std::vector<std::string>& findings) {
        try {
            add(record);
            out_.last_line_is_open = true;
        } catch (const InputError&) {
            findings.push_back(fmt::format("line {} is cut off and passed over", record.line));
        }
    }

    void add(const CsvRecord& record) {
        check_width(record);
        LoggerRow row;
        row.line = record.line;
        read_time(record, row);
        for (const std::size_t channel : {kInside, kOutside}) {
            if (column(channel)) row.values.at(channel) = value_of(record, channel);
        }
        out_.rows.push_back(row);
    }

    void check_width(const CsvRecord& record) const {
        std::size_t width = record.cells.size();
        while (width > layout_.columns && trimmed(record.cells[width - 1]).empty()) --width;
        if (width == layout_.columns) return;
        const bool comma = layout_.separator == ',' && width > layout_.columns;
        fail(record.line,
             fmt::format("has {} cells; expected {}, as the header has{}", width, layout_.columns,
                         comma ? " (numbers with a decimal comma need ; between the cells)" : ""));
    }

    void read_time(const CsvRecord& record, LoggerRow& row) const {
        const std::string& cell = record.cells[layout_.time_index];
        const bool stamped = layout_.time_kind == TimeKind::stamp;
        if (stamped || layout_.time_kind == TimeKind::date_and_time) {
            const std::string text = stamped ? cell : record.cells[layout_.date_index] + " " + cell;
            const auto stamp = parse_stamp(text);
            if (!stamp)
                fail(record.line,
                     fmt::format("'{}' is no date and time that mildway knows, such as 2027-03-01 13:05 or "
                                 "03/01/2027 1:05 PM",
                                 trimmed(text)));
            row.stamp = *stamp;
            row.stamp.line = record.line;
            return;
        }
        const auto number = parse_decimal(cell, layout_.separator != ',');
        if (!number) fail(record.line, fmt::format("'{}' is no time; expected a number", trimmed(cell)));
        if (std::abs(*number) > 1e14) fail(record.line, fmt::format("'{}' is no time", trimmed(cell)));
        row.number_s = layout_.time_kind == TimeKind::elapsed
                           ? *number * static_cast<double>(layout_.elapsed_unit.count())
                       : *number >= kMillisecondsFrom ? *number / 1000
                                                      : *number;
    }

    double value_of(const CsvRecord& record, std::size_t channel) {
        const std::string& cell = record.cells[column(channel)->index];
        if (is_no_value(cell)) {
            ++missing_.at(channel);
            return std::numeric_limits<double>::quiet_NaN();
        }
        std::size_t digits_end = cell.find_last_of("0123456789");
        digits_end = digits_end == std::string::npos ? cell.size() : digits_end + 1;
        const auto value =
            parse_decimal(std::string_view(cell).substr(0, digits_end), layout_.separator != ',');
        const std::string_view suffix = trimmed(std::string_view(cell).substr(digits_end));
        const auto unit = unit_in(suffix);
        if (!value || (!suffix.empty() && suffix != "." && !unit)) {
            fail(record.line,
                 fmt::format("'{}' in column '{}' is not a number", trimmed(cell), column(channel)->name));
        }
        if (unit) take_unit(record.line, channel, *unit);
        return *value;
    }

    void take_unit(int line, std::size_t channel, TempUnit unit) {
        auto& known = out_.units.at(channel);
        if (known && *known != unit)
            fail(line, fmt::format("has another unit in column '{}' than the header or the lines before",
                                   column(channel)->name));
        known = unit;
    }

    void tell_missing(std::size_t channel, std::vector<std::string>& findings) const {
        if (missing_.at(channel) == 0) return;
        if (missing_.at(channel) == out_.rows.size())
            throw InputError(file_, "", 0,
                             fmt::format("the column '{}' holds no values", column(channel)->name));
        const bool one = missing_.at(channel) == 1;
        findings.push_back(fmt::format("{} of {} cells of the column '{}' {} no value and {} passed over",
                                       missing_.at(channel), out_.rows.size(), column(channel)->name,
                                       one ? "holds" : "hold", one ? "is" : "are"));
    }

    const std::string& file_;
    const LoggerLayout& layout_;
    LoggerRows out_;
    std::array<std::size_t, 2> missing_{};
};

}  // namespace

LoggerRows read_rows(const std::string& file, std::string_view text, const LoggerLayout& layout,
                     std::vector<std::string>& findings) {
    return RowReader(file, layout).read(text, findings);
}

}  // namespace mildway::learning
