#include "mildway/base/json_answer.hpp"

#include "mildway/base/errors.hpp"

#include <algorithm>
#include <bit>
#include <limits>
#include <type_traits>

#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <simdjson.h>

namespace mildway {

namespace {

namespace dom = simdjson::dom;

constexpr std::size_t kDeepest = 32;  // answers of weather services nest 5 to 9 deep

std::string line_of(std::string_view text, std::size_t byte) {
    const std::string_view before = text.substr(0, std::min(byte, text.size()));
    return fmt::format("line {}", std::count(before.begin(), before.end(), '\n') + 1);
}

/// Where a text that simdjson refuses goes wrong; simdjson itself does not tell.
class FaultFinder : public nlohmann::json_sax<nlohmann::json> {
public:
    explicit FaultFinder(std::string_view text) : text_(text) {}
    std::string fault;

    bool null() override { return true; }
    bool boolean(bool /*value*/) override { return true; }
    bool number_integer(number_integer_t /*value*/) override { return true; }
    bool number_unsigned(number_unsigned_t /*value*/) override { return true; }
    bool number_float(number_float_t /*value*/, const string_t& /*text*/) override { return true; }
    bool string(string_t& /*value*/) override { return true; }
    bool binary(binary_t& /*value*/) override { return true; }
    bool start_object(std::size_t /*size*/) override { return open(); }
    bool start_array(std::size_t /*size*/) override { return open(); }
    bool key(string_t& /*name*/) override { return true; }
    bool end_object() override { return --depth_, true; }
    bool end_array() override { return --depth_, true; }
    bool parse_error(std::size_t byte, const std::string& /*token*/,
                     const nlohmann::detail::exception& error) override {
        if (byte > text_.size()) {
            fault = "it is cut short: the JSON does not end";
        } else if (dynamic_cast<const nlohmann::json::out_of_range*>(&error) != nullptr) {
            fault = fmt::format("it holds a number beyond all bounds ({})", line_of(text_, byte));
        } else {
            fault = fmt::format("it is not valid JSON ({})", line_of(text_, byte));
        }
        return false;
    }

private:
    bool open() {
        if (++depth_ <= kDeepest) return true;
        fault = fmt::format("it is nested more than {} deep", kDeepest);
        return false;
    }

    std::string_view text_;
    std::size_t depth_ = 0;
};

std::string explain_refusal(std::string_view text, simdjson::error_code code) {
    if (text.find_first_not_of(" \t\r\n") == std::string_view::npos) return "it is empty";
    FaultFinder finder(text);
    nlohmann::json::sax_parse(text, &finder);
    return finder.fault.empty() ? fmt::format("it cannot be read: {}", simdjson::error_message(code))
                                : finder.fault;
}

std::string_view kind_of(dom::element element) {
    switch (element.type()) {
        case dom::element_type::ARRAY:
            return "a list";
        case dom::element_type::OBJECT:
            return "an object";
        case dom::element_type::STRING:
            return "text";
        case dom::element_type::BOOL:
            return "true or false";
        case dom::element_type::NULL_VALUE:
            return "null";
        default:
            return "a number";
    }
}

}  // namespace

struct JsonAnswer::Tree {
    std::string name;
    dom::parser parser;
    dom::element root;
};

JsonAnswer::JsonAnswer(std::string name, std::string_view text, std::size_t largest)
    : tree_(std::make_unique<Tree>()) {
    tree_->name = std::move(name);
    const auto refuse = [&](const std::string& reason) {
        throw WeatherError(fmt::format("{}: {}", tree_->name, reason));
    };
    if (text.size() > largest)
        refuse(fmt::format("it has {} bytes; expected at most {}", text.size(), largest));
    if (const auto error = tree_->parser.allocate(std::max<std::size_t>(text.size(), 64), kDeepest)) {
        throw SystemError(fmt::format("no memory for an answer: {}", simdjson::error_message(error)));
    }
    if (const auto error = tree_->parser.parse(text.data(), text.size()).get(tree_->root)) {
        refuse(explain_refusal(text, error));
    }
}

JsonAnswer::~JsonAnswer() = default;
JsonAnswer::JsonAnswer(JsonAnswer&&) noexcept = default;
JsonAnswer& JsonAnswer::operator=(JsonAnswer&&) noexcept = default;

const std::string& JsonAnswer::name() const {
    return tree_->name;
}

namespace {

template <class Stored>
dom::element unpack(const Stored& stored) {
    static_assert(sizeof(dom::element) == sizeof(stored.bytes) && std::is_trivially_copyable_v<dom::element>);
    return std::bit_cast<dom::element>(stored.bytes);
}

template <class Stored>
Stored pack(dom::element element) {
    return {std::bit_cast<decltype(Stored::bytes)>(element)};
}

}  // namespace

JsonValue JsonAnswer::root() const {
    return {&tree_->name, pack<JsonValue::Element>(tree_->root)};
}

bool JsonValue::is_null() const {
    return unpack(element_).is_null();
}
bool JsonValue::is_object() const {
    return unpack(element_).is_object();
}
bool JsonValue::is_array() const {
    return unpack(element_).is_array();
}
bool JsonValue::is_text() const {
    return unpack(element_).is_string();
}
bool JsonValue::is_number() const {
    return unpack(element_).is_number();
}

JsonValue JsonValue::child(Step step, Element element) const {
    JsonValue value(name_, element);
    value.way_ = way_;
    value.depth_ = depth_ + 1;
    if (depth_ < way_.size()) value.way_[depth_] = step;
    return value;
}

std::string JsonValue::pointer() const {
    std::string text;
    for (std::size_t i = 0; i < std::min(depth_, way_.size()); ++i) {
        text += way_[i].key.data() != nullptr ? fmt::format("/{}", way_[i].key)
                                              : fmt::format("/{}", way_[i].index);
    }
    return text;
}

void JsonValue::fail(std::string_view reason) const {
    const std::string at = pointer();
    throw WeatherError(at.empty() ? fmt::format("{}: {}", *name_, reason)
                                  : fmt::format("{}: {}: {}", *name_, at, reason));
}

std::optional<JsonValue> JsonValue::find(std::string_view key) const {
    std::optional<JsonValue> found;
    each_member([&](std::string_view name, const JsonValue& member) {
        if (name != key) return;
        if (found) member.fail("stands twice; which one is meant cannot be told");
        found = member;
    });
    return found;
}

std::optional<JsonValue> JsonValue::find_known(std::string_view key) const {
    auto found = find(key);
    if (found && found->is_null()) found.reset();
    return found;
}

JsonValue JsonValue::at(std::string_view key) const {
    auto found = find(key);
    if (!found) fail(fmt::format("has no \"{}\"", key));
    return *found;
}

void JsonValue::each(const std::function<void(const JsonValue&)>& visit) const {
    dom::array array;
    const dom::element element = unpack(element_);
    if (element.get(array) != simdjson::SUCCESS)
        fail(fmt::format("is {}; expected a list", kind_of(element)));
    std::uint32_t index = 0;
    for (const dom::element item : array) visit(child({{}, index++}, pack<Element>(item)));
}

void JsonValue::each_member(const std::function<void(std::string_view, const JsonValue&)>& visit) const {
    dom::object object;
    const dom::element element = unpack(element_);
    if (element.get(object) != simdjson::SUCCESS)
        fail(fmt::format("is {}; expected an object", kind_of(element)));
    for (const dom::key_value_pair field : object) {
        visit(field.key, child({field.key, 0}, pack<Element>(field.value)));
    }
}

std::size_t JsonValue::size() const {
    std::size_t count = 0;
    if (is_array()) {
        each([&](const JsonValue& /*item*/) { ++count; });
    } else {
        each_member([&](std::string_view /*key*/, const JsonValue& /*member*/) { ++count; });
    }
    return count;
}

double JsonValue::number() const {
    double value = 0;
    const dom::element element = unpack(element_);
    if (element.get(value) != simdjson::SUCCESS)
        fail(fmt::format("is {}; expected a number", kind_of(element)));
    return value;
}

double JsonValue::number_or_nan() const {
    return is_null() ? std::numeric_limits<double>::quiet_NaN() : number();
}

std::string_view JsonValue::text() const {
    std::string_view value;
    const dom::element element = unpack(element_);
    if (element.get(value) != simdjson::SUCCESS) fail(fmt::format("is {}; expected text", kind_of(element)));
    return value;
}

}  // namespace mildway
