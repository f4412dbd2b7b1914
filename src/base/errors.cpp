#include "mildway/base/errors.hpp"

#include <algorithm>
#include <numeric>

#include <fmt/format.h>

namespace mildway {

namespace {

std::string describe(const std::string& file, const std::string& field, int line,
                     const std::string& expectation) {
    std::string where = file;
    if (line > 0) where += fmt::format(":{}", line);
    if (!field.empty()) where += fmt::format(": {}", field);
    return fmt::format("{}: {}", where, expectation);
}

/// Levenshtein distance, one row at a time.
std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> row(b.size() + 1);
    std::iota(row.begin(), row.end(), std::size_t{0});
    for (std::size_t i = 1; i <= a.size(); ++i) {
        std::size_t diagonal = row[0];
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t substituted = diagonal + (a[i - 1] == b[j - 1] ? 0 : 1);
            diagonal = row[j];
            row[j] = std::min({row[j] + 1, row[j - 1] + 1, substituted});
        }
    }
    return row.back();
}

}  // namespace

InputError::InputError(std::string file, std::string field, int line, const std::string& expectation)
    : Error(describe(file, field, line, expectation)),
      file_(std::move(file)),
      field_(std::move(field)),
      line_(line) {}

std::string nearest_name(std::string_view given, const std::vector<std::string>& candidates) {
    std::string best;
    std::size_t best_distance = std::max<std::size_t>(2, given.size() / 3) + 1;
    for (const auto& candidate : candidates) {
        const std::size_t distance = edit_distance(given, candidate);
        if (distance < best_distance) {
            best_distance = distance;
            best = candidate;
        }
    }
    return best;
}

std::string unknown_name_message(std::string_view kind, std::string_view given,
                                 const std::vector<std::string>& known) {
    std::string message = fmt::format("no {} is called '{}'", kind, given);
    if (const std::string near = nearest_name(given, known); !near.empty()) {
        message += fmt::format("; did you mean '{}'?", near);
    }
    std::string all;
    for (const auto& name : known) all += (all.empty() ? "" : ", ") + name;
    return message + fmt::format(" (known: {})", all.empty() ? "none" : all);
}

}  // namespace mildway
