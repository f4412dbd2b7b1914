#include "column_words.hpp"

#include "mildway/base/text.hpp"

#include "logger_stamp.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <initializer_list>

namespace mildway::learning {

namespace {

void replace_all(std::string& text, std::string_view from, std::string_view to) {
    for (std::size_t at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size()))
        text.replace(at, from.size(), to);
}

/// Lower case, with the single characters for degrees Celsius and Fahrenheit (U+2103, U+2109) spelt out.
std::string plain(std::string_view name) {
    std::string text(name);
    replace_all(text, "\xE2\x84\x83", "(c)");
    replace_all(text, "\xE2\x84\x89", "(f)");
    return lower_case(text);
}

bool any_of(const std::vector<std::string>& words, std::initializer_list<std::string_view> of) {
    return std::any_of(words.begin(), words.end(), [&](const std::string& word) {
        return std::find(of.begin(), of.end(), word) != of.end();
    });
}

bool is_temperature_word(const std::string& word) {
    return word.starts_with("temp") || word == "t" || word == "deg" || word == "degrees" ||
           word == "degree" ||
           (word.size() == 2 && word[0] == 't' && std::isdigit(static_cast<unsigned char>(word[1])) != 0);
}

bool is_alnum(char c) {
    return std::isalnum(static_cast<unsigned char>(c)) != 0;
}

/// Whether a unit's letter stands alone where units stand.
bool has_lone_letter(const std::string& text, char letter) {
    for (std::size_t at = text.find(letter); at != std::string::npos; at = text.find(letter, at + 1)) {
        if (at + 1 < text.size() && is_alnum(text[at + 1])) continue;
        std::size_t before = at;
        while (before > 0 && text[before - 1] == ' ') --before;
        if (before == 0) {
            if (text.size() == 1) return true;
            continue;
        }
        const char c = text[before - 1];
        const bool degree_sign = static_cast<unsigned char>(c) >= 0x80u;
        if (degree_sign || std::string_view("([{_,/:-").find(c) != std::string_view::npos) return true;
        if (before == at || !is_alnum(c)) continue;
        const auto words = words_of(std::string_view(text).substr(0, before));
        if (is_temperature_word(words.back())) return true;
    }
    return false;
}

}  // namespace

std::vector<std::string> words_of(std::string_view name) {
    std::vector<std::string> words;
    bool inside_word = false;
    for (const char c : plain(name)) {
        if (!is_alnum(c)) {
            inside_word = false;
            continue;
        }
        if (!inside_word) words.emplace_back();
        words.back() += c;
        inside_word = true;
    }
    return words;
}

bool is_date_name(std::string_view name) {
    return any_of(words_of(name), {"date", "datetime", "timestamp", "datum", "fecha", "localtime"});
}

bool is_clock_name(std::string_view name) {
    const auto words = words_of(name);
    return any_of(words, {"time", "datetime", "timestamp", "uhrzeit", "zeit", "hora", "heure", "clock",
                          "localtime"}) &&
           !is_elapsed_name(name);
}

bool is_elapsed_name(std::string_view name) {
    const auto words = words_of(name);
    if (any_of(words, {"elapsed", "runtime", "duration"})) return true;
    return elapsed_unit_in(name) != seconds(0) && (words.size() == 1 || any_of(words, {"time", "t", "zeit"}));
}

bool is_unix_name(std::string_view name) {
    return any_of(words_of(name), {"unix", "epoch", "posix", "unixtime", "timestamp"});
}

bool is_temperature_name(std::string_view name) {
    const auto words = words_of(name);
    if (any_of(words, {"dew",      "dewpoint", "wet",     "humidity", "humid", "rh",  "heat",
                       "index",    "alarm",    "limit",   "set",      "min",   "max", "low",
                       "high",     "lowest",   "highest", "average",  "avg",   "mkt", "setpoint",
                       "pressure", "battery",  "voltage", "time",     "date"}))
        return false;
    if (is_elapsed_name(name)) return false;
    return std::any_of(words.begin(), words.end(), is_temperature_word) || unit_in(name) ||
           is_inside_name(name) || is_outside_name(name);
}

bool is_inside_name(std::string_view name) {
    return any_of(words_of(name), {"inside", "in", "box", "cavity", "cup", "parcel", "inner"});
}

bool is_outside_name(std::string_view name) {
    return any_of(words_of(name), {"outside", "out", "ambient", "room", "surroundings", "around", "outer"});
}

std::optional<TempUnit> unit_in(std::string_view name) {
    const auto words = words_of(name);
    const std::string text = plain(name);
    const bool celsius =
        any_of(words, {"celsius", "centigrade", "degc", "tempc", "temperaturec", "degreesc"}) ||
        has_lone_letter(text, 'c');
    const bool fahrenheit = any_of(words, {"fahrenheit", "degf", "tempf", "temperaturef", "degreesf"}) ||
                            has_lone_letter(text, 'f');
    if (celsius == fahrenheit) return std::nullopt;
    return celsius ? TempUnit::celsius : TempUnit::fahrenheit;
}

seconds elapsed_unit_in(std::string_view name) {
    const auto words = words_of(name);
    if (any_of(words, {"s", "sec", "secs", "second", "seconds"})) return seconds(1);
    if (any_of(words, {"min", "mins", "minute", "minutes"})) return minutes(1);
    if (any_of(words, {"h", "hr", "hrs", "hour", "hours"})) return hours(1);
    return seconds(0);
}

std::optional<seconds> offset_in(std::string_view name) {
    const std::string text = lower_case(name);
    for (const std::string_view mark : {"gmt", "utc"}) {
        const std::size_t at = text.find(mark);
        if (at == std::string::npos) continue;
        std::string rest = text.substr(at);
        rest = rest.substr(0, rest.find_first_of(")],; ", mark.size()));
        const auto stamp = parse_stamp("2000-01-01 00:00 " + rest);
        if (stamp && stamp->offset) return stamp->offset;
    }
    return std::nullopt;
}

}  // namespace mildway::learning
