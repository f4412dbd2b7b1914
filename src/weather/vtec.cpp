#include "vtec.hpp"

#include <algorithm>
#include <array>
#include <utility>
#include <vector>

#include <fmt/format.h>

namespace mildway::weather {

namespace {

std::vector<std::string_view> split(std::string_view text, char separator) {
    std::vector<std::string_view> parts;
    for (;;) {
        const std::size_t at = text.find(separator);
        parts.push_back(text.substr(0, at));
        if (at == std::string_view::npos) return parts;
        text.remove_prefix(at + 1);
    }
}

bool is_upper(std::string_view text) {
    return std::all_of(text.begin(), text.end(), [](char c) { return c >= 'A' && c <= 'Z'; });
}

/// "260717T0300Z"; all zeros are no time.
bool read_time(std::string_view text, std::optional<Instant>& when) {
    constexpr std::string_view kNever = "000000T0000Z";
    if (text == kNever) return true;
    if (text.size() != kNever.size()) return false;
    when = parse_instant(fmt::format("20{}-{}-{}T{}:{}:00Z", text.substr(0, 2), text.substr(2, 2),
                                     text.substr(4, 2), text.substr(7, 2), text.substr(9, 2)));
    return when && text[6] == 'T' && text[11] == 'Z';
}

// NWS Instruction 10-1703, table of phenomena (from memory). A longer beginning stands before a shorter one.
// "Excessive Heat" became "Extreme Heat" in 2025, and wind chill products became cold ones; both names occur.
constexpr auto kNames = std::to_array<std::pair<std::string_view, std::string_view>>({
    {"Winter Storm", "WS"},
    {"Winter Weather", "WW"},
    {"Blizzard", "BZ"},
    {"Ice Storm", "IS"},
    {"Snow Squall", "SQ"},
    {"Lake Effect Snow", "LE"},
    {"Freezing Rain", "ZR"},
    {"Freezing Fog", "ZF"},
    {"Dense Fog", "FG"},
    {"Extreme Cold", "EC"},
    {"Cold Weather", "CW"},
    {"Wind Chill", "WC"},
    {"Extreme Heat", "XH"},
    {"Excessive Heat", "EH"},
    {"Heat Advisory", "HT"},
    {"Hard Freeze", "HZ"},
    {"Freeze", "FZ"},
    {"Frost", "FR"},
    {"High Wind", "HW"},
    {"Wind Advisory", "WI"},
    {"Extreme Wind", "EW"},
    {"Flash Flood", "FF"},
    {"Coastal Flood", "CF"},
    {"Flood", "FA"},
    {"Hurricane Force Wind", "HF"},
    {"Hurricane", "HU"},
    {"Typhoon", "TY"},
    {"Tropical Storm", "TR"},
    {"Tornado", "TO"},
    {"Severe Thunderstorm", "SV"},
    {"Dust Storm", "DS"},
});

}  // namespace

std::optional<Vtec> parse_vtec(std::string_view text) {
    if (text.size() < 2 || text.front() != '/' || text.back() != '/') return std::nullopt;
    const auto parts = split(text.substr(1, text.size() - 2), '.');
    if (parts.size() != 7 || parts[1].size() != 3 || parts[3].size() != 2) return std::nullopt;
    const auto times = split(parts[6], '-');
    Vtec vtec{std::string(parts[1]), std::string(parts[3]), std::nullopt, std::nullopt};
    if (!is_upper(vtec.action) || !is_upper(vtec.phenomenon) || times.size() != 2) return std::nullopt;
    if (!read_time(times[0], vtec.begins) || !read_time(times[1], vtec.ends)) return std::nullopt;
    return vtec;
}

std::string phenomenon_of(std::string_view event) {
    for (const auto& [beginning, phenomenon] : kNames) {
        if (event.starts_with(beginning)) return std::string(phenomenon);
    }
    return "";
}

}  // namespace mildway::weather
