#include "gazetteer_table.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/files.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <optional>

#include <fmt/format.h>

namespace mildway::places {

namespace {

constexpr std::size_t kLargestFile = 64u << 20;  // the national files have 1 to 5 MB (from memory)

std::string_view trimmed(std::string_view text) {
    constexpr std::string_view kBlanks = " \r";
    const std::size_t first = text.find_first_not_of(kBlanks);
    if (first == std::string_view::npos) return {};
    return text.substr(first, text.find_last_not_of(kBlanks) - first + 1);
}

/// Cells without the blanks around them: the published files pad the last column (from memory).
std::vector<std::string_view> cells_of(std::string_view line, char separator) {
    std::vector<std::string_view> cells;
    for (;;) {
        const std::size_t at = line.find(separator);
        cells.push_back(trimmed(line.substr(0, at)));
        if (at == std::string_view::npos) return cells;
        line.remove_prefix(at + 1);
    }
}

/// Where the columns stand that are read.
struct Columns {
    char separator;
    std::size_t count;
    std::size_t geoid, latitude, longitude;
    std::optional<std::size_t> state, name;  ///< both, or neither for ZIP code areas
};

class Reader {
public:
    explicit Reader(const std::filesystem::path& file)
        : file_(file.string()), text_(read_file(file, kLargestFile)) {}

    GazetteerTable read() {
        GazetteerTable table;
        std::string_view rest = text_;
        if (rest.starts_with("\xEF\xBB\xBF")) rest.remove_prefix(3);  // a byte order mark
        std::optional<Columns> columns;
        for (; !rest.empty(); ++line_) {
            const std::size_t end = rest.find('\n');
            const std::string_view line = rest.substr(0, end);
            rest = end == std::string_view::npos ? std::string_view{} : rest.substr(end + 1);
            if (!columns) {
                columns = columns_of(line);
            } else if (!trimmed(line).empty()) {
                table.rows.push_back(row_of(*columns, line));
            }
        }
        if (table.rows.empty()) fail("", "holds no places");
        table.zip_codes = !columns->name;
        for (std::size_t i = 0; i < table.rows.size(); ++i)
            table.by_key.emplace(name_key(table.rows[i].name), i);
        return table;
    }

private:
    [[noreturn]] void fail(const std::string& column, const std::string& reason) const {
        throw InputError(file_, column, line_, reason);
    }

    [[nodiscard]] Columns columns_of(std::string_view header) const {
        const char separator = header.find('|') == std::string_view::npos ? '\t' : '|';
        const auto cells = cells_of(header, separator);
        const auto find = [&](std::string_view name) -> std::optional<std::size_t> {
            const auto at = std::find(cells.begin(), cells.end(), name);
            if (at == cells.end()) return std::nullopt;
            return static_cast<std::size_t>(at - cells.begin());
        };
        const auto need = [&](const char* name) {
            const auto at = find(name);
            if (!at) fail(name, "there is no such column; expected a gazetteer file of the US Census Bureau");
            return *at;
        };
        Columns columns{separator,         cells.size(), need("GEOID"), need("INTPTLAT"),
                        need("INTPTLONG"), find("USPS"), find("NAME")};
        if (columns.state.has_value() != columns.name.has_value())
            fail(columns.state ? "NAME" : "USPS",
                 "there is no such column, though the other of USPS and NAME is there");
        return columns;
    }

    [[nodiscard]] GazetteerRow row_of(const Columns& columns, std::string_view line) const {
        const auto cells = cells_of(line, columns.separator);
        if (cells.size() != columns.count)
            fail("", fmt::format("has {} columns; the first line has {}", cells.size(), columns.count));
        GazetteerRow row;
        row.name = columns.name ? without_kind(cells[*columns.name]) : std::string(cells[columns.geoid]);
        if (columns.state) row.state = cells[*columns.state];
        if (row.name.empty()) fail(columns.name ? "NAME" : "GEOID", "is empty");
        row.latitude_deg = degrees("INTPTLAT", cells[columns.latitude], 90);
        row.longitude_deg = degrees("INTPTLONG", cells[columns.longitude], 180);
        return row;
    }

    [[nodiscard]] double degrees(const char* column, std::string_view text, double limit) const {
        double value = 0;
        const std::string_view digits = text.substr(text.starts_with('+') ? 1 : 0);
        const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
        if (error != std::errc{} || end != digits.data() + digits.size() ||
            !(value >= -limit && value <= limit))
            fail(column, fmt::format("is '{}'; expected degrees from -{:g} to {:g}", text, limit, limit));
        return value;
    }

    std::string file_;
    std::string text_;
    int line_ = 1;
};

}  // namespace

GazetteerTable read_gazetteer(const std::filesystem::path& file) {
    return Reader(file).read();
}

std::string without_kind(std::string_view name) {
    // from memory of the file of places; "(balance)" is what is left of a city merged with its county
    constexpr std::array<std::string_view, 14> kKinds{" city and borough",
                                                      " metropolitan government",
                                                      " consolidated government",
                                                      " unified government",
                                                      " metro government",
                                                      " urban county",
                                                      " municipality",
                                                      " borough",
                                                      " village",
                                                      " town",
                                                      " city",
                                                      " CDP",
                                                      " zona urbana",
                                                      " comunidad"};
    constexpr std::string_view kBalance = " (balance)";
    if (name.ends_with(kBalance)) name.remove_suffix(kBalance.size());
    for (const std::string_view kind : kKinds) {
        if (name.ends_with(kind) && name.size() > kind.size())
            return std::string(name.substr(0, name.size() - kind.size()));
    }
    return std::string(name);
}

std::string name_key(std::string_view name) {
    std::string key;
    for (const char c : name) {
        if (c == '.') continue;
        if (c == ' ' && (key.empty() || key.back() == ' ')) continue;
        key += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    }
    if (!key.empty() && key.back() == ' ') key.pop_back();
    constexpr std::string_view kSaint = "saint ";
    if (key.starts_with(kSaint)) key.replace(0, kSaint.size(), "st ");
    return key;
}

}  // namespace mildway::places
