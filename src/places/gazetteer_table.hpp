// The rows of a gazetteer file.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace mildway::places {

struct GazetteerRow {
    std::string name;   ///< "55802", or "Duluth" without its kind
    std::string state;  ///< "MN"; empty for a ZIP code area
    double latitude_deg = 0;
    double longitude_deg = 0;
};

struct GazetteerTable {
    bool zip_codes = false;
    std::vector<GazetteerRow> rows;
    std::unordered_multimap<std::string, std::size_t> by_key;  ///< index of the row by name_key of its name
};

/// Throws InputError.
[[nodiscard]] GazetteerTable read_gazetteer(const std::filesystem::path& file);

/// What names are compared by: small letters, no full stops, single blanks, "saint" as "st".
[[nodiscard]] std::string name_key(std::string_view name);

/// "Duluth" of "Duluth city".
[[nodiscard]] std::string without_kind(std::string_view name);

}  // namespace mildway::places
