#include "logger_columns.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/text.hpp"

#include "column_words.hpp"
#include "logger_stamp.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace mildway::learning {

namespace {

constexpr int kHeaderLines = 60;         // titles and settings stand before it
constexpr double kUnixFrom = 946684800;  // 2000-01-01: smaller numbers count from the beginning of the log

using Names = std::vector<std::string>;

bool same_name(std::string_view a, std::string_view b) {
    return lower_case(trimmed(a)) == lower_case(trimmed(b));
}

bool is_time_name(std::string_view name) {
    return is_date_name(name) || is_clock_name(name) || is_elapsed_name(name) || is_unix_name(name);
}

/// A line that may be the header, and the record after it.
struct Candidate {
    Names names;
    Names first_cells;
    char separator = ',';
    int line = 0;
    std::size_t data_offset = 0;
    bool has_time = false;
    bool has_temperature = false;
};

bool is_temperature(std::string_view name, const LoggerOptions& options) {
    return is_temperature_name(name) ||
           (!options.inside_column.empty() && same_name(name, options.inside_column)) ||
           (!options.outside_column.empty() && same_name(name, options.outside_column));
}

/// The record that begins at `offset`, or nothing where a title line is no CSV.
Names cells_at(const std::string& file, std::string_view text, std::size_t offset, char separator) {
    CsvRecord record;
    try {
        CsvReader reader(file, text.substr(offset), {separator});
        if (!reader.next(record)) record.cells.clear();
    } catch (const InputError&) {
        record.cells.clear();
    }
    return record.cells;
}

Candidate candidate_at(const std::string& file, std::string_view text, std::size_t begin, std::size_t end,
                       int line, const LoggerOptions& options) {
    Candidate found;
    found.line = line;
    found.separator = csv_separator(text.substr(begin, end - begin));
    found.names = cells_at(file, text.substr(0, end), begin, found.separator);
    found.data_offset = end;
    for (const std::string& name : found.names) {
        found.has_time = found.has_time || is_time_name(name);
        found.has_temperature = found.has_temperature || is_temperature(name, options);
    }
    if (found.has_time) found.first_cells = cells_at(file, text, end, found.separator);
    return found;
}

std::string cell(const Names& cells, std::size_t index) {
    return index < cells.size() ? cells[index] : "";
}

template <class Predicate>
std::vector<std::size_t> where(const Names& names, Predicate holds) {
    std::vector<std::size_t> found;
    for (std::size_t i = 0; i < names.size(); ++i) {
        if (holds(names[i])) found.push_back(i);
    }
    return found;
}

/// Each of the one with each of the other, never a column with itself.
std::vector<std::pair<std::size_t, std::size_t>> pairs_of(const std::vector<std::size_t>& dates,
                                                          const std::vector<std::size_t>& clocks) {
    std::vector<std::pair<std::size_t, std::size_t>> pairs;
    for (const std::size_t date : dates) {
        for (const std::size_t clock : clocks) {
            if (date != clock) pairs.emplace_back(date, clock);
        }
    }
    return pairs;
}

/// Chooses among the columns that may tell the time by what stands in the first record. False when none of
/// them can be read; a likely one is chosen all the same, so that the fault is told where it is.
bool choose_time(const Candidate& at, LoggerLayout& layout) {
    const auto dates = where(at.names, is_date_name);
    const auto clocks = where(at.names, is_clock_name);
    const auto any = where(at.names, is_time_name);
    const auto choose = [&](TimeKind kind, std::size_t date, std::size_t time) {
        layout.time_kind = kind;
        layout.date_index = date;
        layout.time_index = time;
        layout.header_offset = offset_in(at.names[time]);
        if (kind == TimeKind::elapsed) layout.elapsed_unit = elapsed_unit_in(at.names[time]);
    };
    for (const std::size_t i : any) {
        if (parse_stamp(cell(at.first_cells, i))) return choose(TimeKind::stamp, i, i), true;
    }
    const auto pairs = pairs_of(dates, clocks);
    const bool read_apart = std::any_of(pairs.begin(), pairs.end(), [&](const auto& pair) {
        choose(TimeKind::date_and_time, pair.first, pair.second);
        return parse_stamp(cell(at.first_cells, pair.first) + " " + cell(at.first_cells, pair.second))
            .has_value();
    });
    if (read_apart) return true;
    if (dates.empty() || clocks.empty() || dates == clocks) choose(TimeKind::stamp, any.front(), any.front());
    const auto number_in = [&](std::size_t i) {
        return parse_decimal(cell(at.first_cells, i), at.separator != ',');
    };
    const auto counted = std::find_if(any.begin(), any.end(), [&](std::size_t i) {
        return number_in(i) && (!is_date_name(at.names[i]) || is_clock_name(at.names[i]));
    });
    if (counted == any.end()) return false;
    const bool unix_time = is_unix_name(at.names[*counted]) || *number_in(*counted) >= kUnixFrom;
    choose(unix_time ? TimeKind::unix_s : TimeKind::elapsed, *counted, *counted);
    return true;
}

Candidate find_header(const std::string& file, std::string_view text, const LoggerOptions& options) {
    std::optional<Candidate> likely;
    std::optional<Candidate> without_temperature;
    std::size_t begin = 0;
    for (int line = 1; line <= kHeaderLines && begin < text.size(); ++line) {
        std::size_t end = text.find_first_of("\r\n", begin);
        if (end == std::string_view::npos) end = text.size();
        std::size_t next = end;
        if (next < text.size()) next += text.substr(next).starts_with("\r\n") ? 2u : 1u;
        Candidate at = candidate_at(file, text, begin, next, line, options);
        begin = next;
        if (!at.has_time) continue;
        if (!at.has_temperature) {
            if (!without_temperature && at.names.size() > 1) without_temperature = at;
            continue;
        }
        LoggerLayout trial;
        if (choose_time(at, trial)) return at;
        if (!likely || at.names.size() > likely->names.size()) likely = at;
    }
    if (likely) return *likely;
    if (without_temperature) {
        throw InputError(
            file, "", without_temperature->line,
            fmt::format("has the columns '{}', none of which is named as a temperature; name one with {}",
                        fmt::join(without_temperature->names, "', '"),
                        options.part == LoggerPart::box ? "--inside-column" : "--outside-column"));
    }
    throw InputError(
        file, "", 0,
        fmt::format("has no header within its first {} lines; expected a line of names with a time and a "
                    "temperature, such as Date,Time,Temp (C)",
                    kHeaderLines));
}

/// Chooses temperature columns of one header.
class Choice {
public:
    Choice(const std::string& file, const Candidate& header, const LoggerOptions& options)
        : file_(file), header_(header), options_(options), temps_(where(header.names, is_temperature_name)) {}

    void make(LoggerLayout& layout) const {
        std::optional<std::size_t> inside;
        const auto named_outside = named(options_.outside_column);
        if (options_.part == LoggerPart::box) inside = find_inside(named_outside);
        const auto outside = named_outside ? named_outside : find_outside(inside);
        if (inside) layout.inside = column(*inside);
        if (outside) layout.outside = column(*outside);
        for (const std::size_t i : temps_) {
            if (i == inside || i == outside) continue;
            layout.findings.push_back(fmt::format("the column '{}' is passed over", header_.names[i]));
        }
    }

private:
    [[nodiscard]] TempColumn column(std::size_t index) const {
        const std::string name(trimmed(header_.names[index]));
        return {index, name, unit_in(name)};
    }

    [[nodiscard]] std::optional<std::size_t> named(const std::string& name) const {
        if (name.empty()) return std::nullopt;
        const auto found =
            where(header_.names, [&](const std::string& have) { return same_name(have, name); });
        if (found.empty())
            throw InputError(file_, "", header_.line, unknown_name_message("column", name, header_.names));
        if (found.size() > 1) ask(fmt::format("has the column '{}' {} times", name, found.size()));
        return found.front();
    }

    [[nodiscard]] std::optional<std::size_t> only(bool (*holds)(std::string_view)) const {
        std::vector<std::size_t> found;
        for (const std::size_t i : temps_) {
            if (holds(header_.names[i])) found.push_back(i);
        }
        return found.size() == 1 ? std::optional(found.front()) : std::nullopt;
    }

    [[nodiscard]] std::size_t find_inside(std::optional<std::size_t> outside) const {
        if (const auto given = named(options_.inside_column)) return *given;
        std::vector<std::size_t> left;
        for (const std::size_t i : temps_) {
            if (i != outside) left.push_back(i);
        }
        if (left.size() == 1) return left.front();
        if (const auto role = only(is_inside_name); role && role != outside) return *role;
        left.erase(std::remove_if(left.begin(), left.end(),
                                  [&](std::size_t i) { return is_outside_name(header_.names[i]); }),
                   left.end());
        if (left.size() == 1) return left.front();
        ask("has several temperatures, and their names do not say which is inside the box");
    }

    [[nodiscard]] std::optional<std::size_t> find_outside(std::optional<std::size_t> inside) const {
        if (temps_.size() == 1 && !inside) return temps_.front();
        const auto role = only(is_outside_name);
        if (role && role != inside) return role;
        if (!inside) ask("has several temperatures, and their names do not say which is outside the box");
        return std::nullopt;
    }

    [[noreturn]] void ask(const std::string& what) const {
        Names names;
        for (const std::size_t i : temps_) names.push_back(header_.names[i]);
        throw InputError(file_, "", header_.line,
                         fmt::format("{} ('{}'); say which with --inside-column and --outside-column", what,
                                     fmt::join(names, "', '")));
    }

    const std::string& file_;
    const Candidate& header_;
    const LoggerOptions& options_;
    std::vector<std::size_t> temps_;
};

}  // namespace

LoggerLayout find_layout(const std::string& file, std::string_view text, const LoggerOptions& options) {
    const Candidate header = find_header(file, text, options);
    LoggerLayout layout;
    layout.separator = header.separator;
    layout.data_offset = header.data_offset;
    layout.data_line = header.line + 1;
    layout.columns = header.names.size();
    (void)choose_time(header, layout);
    Choice(file, header, options).make(layout);
    return layout;
}

}  // namespace mildway::learning
