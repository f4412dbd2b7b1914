#include "mildway/places/gazetteer.hpp"

#include "gazetteer_table.hpp"
#include "us_states.hpp"

#include <algorithm>
#include <optional>

#include <fmt/format.h>

namespace mildway::places {

namespace {

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/// The five digits of "55802" or "55802-1234"; empty for anything else.
std::string zip_of(std::string_view text) {
    const auto digits = [](std::string_view part) { return std::all_of(part.begin(), part.end(), is_digit); };
    if (text.size() == 5 && digits(text)) return std::string(text);
    if (text.size() == 10 && text[5] == '-' && digits(text.substr(0, 5)) && digits(text.substr(6)))
        return std::string(text.substr(0, 5));
    return "";
}

struct Asked {
    std::string town;   ///< key of the name
    std::string state;  ///< two small letters; empty for any
};

/// "duluth mn", "duluth,mn" -> a town and a state; nothing when the end cannot be a state.
std::optional<Asked> town_and_state(std::string_view key) {
    if (key.size() < 4) return std::nullopt;
    const std::string_view state = key.substr(key.size() - 2);
    if (!std::all_of(state.begin(), state.end(), [](char c) { return c >= 'a' && c <= 'z'; }))
        return std::nullopt;
    std::string_view town = key.substr(0, key.size() - 2);
    if (town.back() != ' ' && town.back() != ',') return std::nullopt;
    town = town.substr(0, town.find_last_not_of(" ,") + 1);
    if (town.empty()) return std::nullopt;
    return Asked{std::string(town), std::string(state)};
}

/// Two small letters of "MN".
std::string small(std::string text) {
    std::transform(text.begin(), text.end(), text.begin(),
                   [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
    return text;
}

}  // namespace

struct Gazetteer::Table : GazetteerTable {};

Gazetteer::Gazetteer(std::filesystem::path file) : file_(std::move(file)) {}

std::string Gazetteer::name() const {
    return fmt::format("gazetteer {}", file_.filename().string());
}

const Gazetteer::Table& Gazetteer::table() const {
    std::call_once(read_, [&] { table_ = std::make_shared<const Table>(Table{read_gazetteer(file_)}); });
    return *table_;
}

std::vector<Candidate> Gazetteer::find(const std::string& text) const {
    const Table& known = table();
    const std::string key = name_key(text);
    const std::string zip = zip_of(key);
    std::vector<std::size_t> found;
    const auto look_up = [&](const Asked& asked) {
        const auto [first, last] = known.by_key.equal_range(asked.town);
        for (auto entry = first; entry != last; ++entry) {
            if (asked.state.empty() || asked.state == small(known.rows[entry->second].state))
                found.push_back(entry->second);
        }
    };
    if (known.zip_codes) {
        if (!zip.empty()) look_up({zip, ""});
    } else {
        if (const auto asked = town_and_state(key)) look_up(*asked);
        look_up({key, ""});
    }
    std::sort(found.begin(), found.end());

    std::vector<Candidate> candidates;
    for (const std::size_t i : found) {
        const GazetteerRow& row = known.rows[i];
        Candidate candidate;
        candidate.place.name =
            known.zip_codes ? fmt::format("ZIP {}", row.name) : fmt::format("{} {}", row.name, row.state);
        candidate.place.latitude_deg = row.latitude_deg;
        candidate.place.longitude_deg = row.longitude_deg;
        candidate.place.region = us_region(row.state);
        candidate.source = name();
        candidates.push_back(std::move(candidate));
    }
    return candidates;
}

}  // namespace mildway::places
