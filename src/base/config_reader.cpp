#include "mildway/base/config_reader.hpp"

#include "mildway/base/files.hpp"
#include "mildway/base/time.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace mildway {

using nlohmann::ordered_json;

namespace {

constexpr std::size_t kLargestFile = 4u << 20;  // a config file is written by a person

/// Walks the text once more to note on which line each key stands; the DOM does not keep that.
class LineFinder : public nlohmann::json_sax<ordered_json> {
public:
    explicit LineFinder(const int& line) : line_(line) {}
    std::map<std::string, int> lines;

    bool null() override { return value(); }
    bool boolean(bool /*value*/) override { return value(); }
    bool number_integer(number_integer_t /*value*/) override { return value(); }
    bool number_unsigned(number_unsigned_t /*value*/) override { return value(); }
    bool number_float(number_float_t /*value*/, const string_t& /*text*/) override { return value(); }
    bool string(string_t& /*value*/) override { return value(); }
    bool binary(binary_t& /*value*/) override { return value(); }
    bool start_object(std::size_t /*size*/) override { return open(false); }
    bool start_array(std::size_t /*size*/) override { return open(true); }
    bool end_object() override { return close(); }
    bool end_array() override { return close(); }
    bool key(string_t& name) override {
        // a repeated key is invisible in the DOM (the last one wins), so it is caught here
        const std::string pointer = levels_.back().pointer + "/" + name;
        if (lines.contains(pointer) && repeated.empty()) repeated = pointer;
        levels_.back().next = pointer;
        lines[pointer] = line_;
        return true;
    }
    bool parse_error(std::size_t /*at*/, const std::string& /*token*/,
                     const nlohmann::detail::exception& /*why*/) override {
        return false;
    }

    std::string repeated;

private:
    struct Level {
        bool is_array;
        std::size_t index;
        std::string pointer;
        std::string next;
    };

    std::string here() {
        if (levels_.empty()) return "";
        Level& level = levels_.back();
        if (!level.is_array) return level.next;
        std::string pointer = fmt::format("{}/{}", level.pointer, level.index++);
        lines[pointer] = line_;
        return pointer;
    }
    bool value() {
        here();
        return true;
    }
    bool open(bool is_array) {
        levels_.push_back({is_array, 0, here(), ""});
        return true;
    }
    bool close() {
        levels_.pop_back();
        return true;
    }

    const int& line_;
    std::vector<Level> levels_;
};

/// Feeds characters to the parser and counts the lines it has been given.
class CountingIterator {
public:
    using iterator_category = std::input_iterator_tag;
    using value_type = char;
    using difference_type = std::ptrdiff_t;
    using pointer = const char*;
    using reference = const char&;

    CountingIterator(const char* at, int* line) : at_(at), line_(line) {}
    reference operator*() const { return *at_; }
    CountingIterator& operator++() {
        if (*at_ == '\n') ++*line_;
        ++at_;
        return *this;
    }
    bool operator==(const CountingIterator& other) const { return at_ == other.at_; }
    bool operator!=(const CountingIterator& other) const { return at_ != other.at_; }

private:
    const char* at_;
    int* line_;
};

std::string number_text(double value) {
    return fmt::format("{:g}", value);
}

}  // namespace

struct ConfigNode::File {
    std::string name;
    ordered_json root;
    std::map<std::string, int> lines;

    [[nodiscard]] int line_of(const std::string& pointer) const {
        const auto found = lines.find(pointer);
        return found == lines.end() ? 0 : found->second;
    }
};

struct ConfigNode::Seen {
    std::vector<std::string> keys;
};

ConfigNode::ConfigNode(std::shared_ptr<const File> file, const ordered_json* value, std::string pointer)
    : file_(std::move(file)), value_(value), pointer_(std::move(pointer)), seen_(std::make_shared<Seen>()) {}

ConfigNode ConfigNode::parse(std::string file_name, const std::string& text) {
    auto file = std::make_shared<File>();
    file->name = std::move(file_name);
    try {
        file->root = ordered_json::parse(text);
    } catch (const ordered_json::parse_error& error) {
        const std::size_t end = std::min(error.byte, text.size());
        const auto line = std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(end), '\n');
        throw InputError(
            file->name, "", static_cast<int>(line) + 1,
            "this is not valid JSON (a comma, quote or bracket is missing or left over near here)");
    } catch (const ordered_json::exception& error) {
        // a number too large for any computer number, say
        throw InputError(file->name, "", 0, fmt::format("cannot be read as JSON: {}", error.what()));
    }
    if (!file->root.is_object()) {
        throw InputError(file->name, "", 1, "expected a JSON object, {...}, at the top");
    }
    int line = 1;
    LineFinder finder(line);
    ordered_json::sax_parse(CountingIterator(text.data(), &line),
                            CountingIterator(text.data() + text.size(), &line), &finder);
    file->lines = std::move(finder.lines);
    if (!finder.repeated.empty()) {
        throw InputError(file->name, finder.repeated, file->line_of(finder.repeated),
                         "this key stands twice");
    }
    const ordered_json* root = &file->root;
    return ConfigNode(std::move(file), root, "");
}

ConfigNode ConfigNode::load(const std::filesystem::path& path) {
    return parse(path.string(), read_file(path, kLargestFile));
}

const std::string& ConfigNode::file() const {
    return file_->name;
}

const ordered_json* ConfigNode::find(std::string_view key) const {
    const std::string name(key);
    seen_->keys.push_back(name);
    const auto found = value_->find(name);
    return found == value_->end() ? nullptr : &*found;
}

const ordered_json& ConfigNode::require(std::string_view key, std::string_view expected) const {
    const ordered_json* value = find(key);
    if (value != nullptr) return *value;
    std::vector<std::string> unread;
    for (const auto& [name, other] : value_->items()) {
        if (std::find(seen_->keys.begin(), seen_->keys.end(), name) == seen_->keys.end())
            unread.push_back(name);
    }
    const std::string misspelt = nearest_name(key, unread);
    if (misspelt.empty()) fail(key, fmt::format("is missing; expected {}", expected));
    fail(misspelt, fmt::format("is not a key mildway knows here; did you mean '{}' ({}), which is missing?",
                               key, expected));
}

void ConfigNode::fail(std::string_view key, const std::string& expectation) const {
    const std::string pointer = key.empty() ? pointer_ : fmt::format("{}/{}", pointer_, key);
    int line = file_->line_of(pointer);
    if (line == 0) line = file_->line_of(pointer_);
    throw InputError(file_->name, pointer, line, expectation);
}

bool ConfigNode::has(std::string_view key) const {
    return find(key) != nullptr;
}

double ConfigNode::checked(std::string_view key, const ordered_json& value, Bounds bounds) const {
    const std::string range =
        fmt::format("a number from {} to {}", number_text(bounds.low), number_text(bounds.high));
    if (!value.is_number()) fail(key, fmt::format("is {}; expected {}", value.dump(), range));
    const double number = value.get<double>();
    if (!(number >= bounds.low && number <= bounds.high)) {
        fail(key, fmt::format("is {}; expected {}", number_text(number), range));
    }
    return number;
}

double ConfigNode::number(std::string_view key, Bounds bounds) const {
    return checked(key, require(key, "a number"), bounds);
}

double ConfigNode::number_or(std::string_view key, double otherwise, Bounds bounds) const {
    const ordered_json* value = find(key);
    return value == nullptr ? otherwise : checked(key, *value, bounds);
}

int ConfigNode::whole(std::string_view key, int low, int high) const {
    const double number = this->number(key, {static_cast<double>(low), static_cast<double>(high)});
    if (number != std::floor(number))
        fail(key, fmt::format("is {}; expected a whole number", number_text(number)));
    return static_cast<int>(number);
}

int ConfigNode::whole_or(std::string_view key, int otherwise, int low, int high) const {
    return has(key) ? whole(key, low, high) : otherwise;
}

std::string ConfigNode::text(std::string_view key) const {
    const ordered_json& value = require(key, "text in quotes");
    if (!value.is_string()) fail(key, fmt::format("is {}; expected text in quotes", value.dump()));
    auto text = value.get<std::string>();
    if (text.empty()) fail(key, "is empty; expected some text");
    return text;
}

std::string ConfigNode::text_or(std::string_view key, std::string otherwise) const {
    return has(key) ? text(key) : std::move(otherwise);
}

bool ConfigNode::flag_or(std::string_view key, bool otherwise) const {
    const ordered_json* value = find(key);
    if (value == nullptr) return otherwise;
    if (!value->is_boolean()) fail(key, fmt::format("is {}; expected true or false", value->dump()));
    return value->get<bool>();
}

std::vector<std::string> ConfigNode::texts(std::string_view key) const {
    const ordered_json& value = require(key, "a list of texts");
    if (!value.is_array()) fail(key, "expected a list of texts, [\"...\", \"...\"]");
    std::vector<std::string> all;
    for (const auto& item : value) {
        if (!item.is_string()) fail(key, fmt::format("holds {}; expected only texts", item.dump()));
        all.push_back(item.get<std::string>());
    }
    return all;
}

std::vector<double> ConfigNode::numbers(std::string_view key) const {
    const ordered_json& value = require(key, "a list of numbers");
    if (!value.is_array()) fail(key, "expected a list of numbers, [1, 2, ...]");
    std::vector<double> all;
    for (const auto& item : value) {
        if (!item.is_number()) fail(key, fmt::format("holds {}; expected only numbers", item.dump()));
        all.push_back(item.get<double>());
    }
    return all;
}

ConfigNode ConfigNode::object(std::string_view key) const {
    const ordered_json& value = require(key, "an object, {...}");
    if (!value.is_object()) fail(key, "expected an object, {...}");
    return ConfigNode(file_, &value, fmt::format("{}/{}", pointer_, key));
}

std::vector<ConfigNode> ConfigNode::objects(std::string_view key) const {
    const ordered_json& value = require(key, "a list of objects");
    if (!value.is_array()) fail(key, "expected a list of objects, [{...}, {...}]");
    std::vector<ConfigNode> all;
    for (std::size_t i = 0; i < value.size(); ++i) {
        if (!value[i].is_object()) fail(fmt::format("{}/{}", key, i), "expected an object, {...}");
        all.push_back(ConfigNode(file_, &value[i], fmt::format("{}/{}/{}", pointer_, key, i)));
    }
    return all;
}

std::vector<std::pair<std::string, ConfigNode>> ConfigNode::named_objects() const {
    std::vector<std::pair<std::string, ConfigNode>> all;
    for (const auto& [name, value] : value_->items()) all.emplace_back(name, object(name));
    return all;
}

std::size_t ConfigNode::choice(std::string_view key, const std::vector<std::string>& allowed) const {
    const std::string given = text(key);
    const auto found = std::find(allowed.begin(), allowed.end(), given);
    if (found == allowed.end()) {
        std::string all;
        for (const auto& name : allowed) all += (all.empty() ? "" : ", ") + name;
        fail(key, fmt::format("is '{}'; expected one of: {}", given, all));
    }
    return static_cast<std::size_t>(found - allowed.begin());
}

std::size_t ConfigNode::index_of(std::string_view key, std::string_view kind, const std::string& name,
                                 const std::vector<std::string>& known) const {
    const auto found = std::find(known.begin(), known.end(), name);
    if (found == known.end()) fail(key, unknown_name_message(kind, name, known));
    return static_cast<std::size_t>(found - known.begin());
}

std::chrono::minutes ConfigNode::clock(std::string_view key) const {
    const std::string given = text(key);
    const auto clock = parse_clock(given);
    if (!clock) fail(key, fmt::format("is '{}'; expected a local clock time like 17:30", given));
    return *clock;
}

void ConfigNode::finish() const {
    for (const auto& [key, value] : value_->items()) {
        if (std::find(seen_->keys.begin(), seen_->keys.end(), key) != seen_->keys.end()) continue;
        const std::string near = nearest_name(key, seen_->keys);
        fail(key, near.empty() ? "is not a key mildway knows here"
                               : fmt::format("is not a key mildway knows here; did you mean '{}'?", near));
    }
}

}  // namespace mildway
