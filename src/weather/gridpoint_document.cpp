#include "gridpoint_document.hpp"

#include "mildway/base/errors.hpp"

#include <algorithm>
#include <limits>
#include <optional>
#include <span>
#include <stdexcept>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace mildway::weather {

namespace {

using nlohmann::json;

constexpr std::size_t kLargestText = 8u << 20;  // a real answer has 60 to 300 kB
constexpr std::size_t kDeepest = 32;            // a real answer nests 8 deep

/// What an object or array is in the answer.
enum class Role { outside, document, properties, layer, samples, sample, geometry, rings, ring, vertex };

constexpr std::array<std::string_view, 4> kDocumentKeys{"properties", "geometry", "title", "detail"};
constexpr std::array<std::string_view, 7> kPropertyKeys{
    "temperature",          "skyCover",  "windSpeed", "snowfallAmount", "iceAccumulation",
    "probabilityOfThunder", "updateTime"};
constexpr std::array<std::string_view, 2> kLayerKeys{"uom", "values"};
constexpr std::array<std::string_view, 2> kSampleKeys{"validTime", "value"};
constexpr std::array<std::string_view, 1> kGeometryKeys{"coordinates"};
static_assert(std::equal(kLayerNames.begin(), kLayerNames.end(), kPropertyKeys.begin()));

/// The keys that are read in an object of each role.
std::span<const std::string_view> keys_of(Role role) {
    switch (role) {
        case Role::document:
            return kDocumentKeys;
        case Role::properties:
            return kPropertyKeys;
        case Role::layer:
            return kLayerKeys;
        case Role::sample:
            return kSampleKeys;
        case Role::geometry:
            return kGeometryKeys;
        default:
            return {};
    }
}

std::string place_in_text(const std::string& text, std::size_t byte) {
    const auto end = text.begin() + static_cast<std::ptrdiff_t>(std::min(byte, text.size()));
    return fmt::format("line {}", std::count(text.begin(), end, '\n') + 1);
}

/// Keeps what is wanted as the parser walks by. A tree of the whole answer would be five times as much work,
/// and would hide a key that stands twice.
class Reader : public nlohmann::json_sax<json> {
public:
    Reader(const std::string& name, const std::string& text) : name_(name), text_(text) {}

    GridpointDocument take() {
        if (!saw_properties_) {
            fail("",
                 problem_.empty()
                     ? "this is not gridpoint data: there is no \"properties\""
                     : fmt::format("this is an error answer of the service, not a forecast: {}", problem_));
        }
        return std::move(document_);
    }

    bool null() override { return scalar(std::nullopt, nullptr, true); }
    bool boolean(bool /*value*/) override { return scalar(std::nullopt, nullptr, false); }
    bool number_integer(number_integer_t n) override {
        return scalar(static_cast<double>(n), nullptr, false);
    }
    bool number_unsigned(number_unsigned_t n) override {
        return scalar(static_cast<double>(n), nullptr, false);
    }
    bool number_float(number_float_t n, const string_t& /*text*/) override {
        return scalar(n, nullptr, false);
    }
    bool string(string_t& text) override { return scalar(std::nullopt, &text, false); }
    bool binary(binary_t& /*value*/) override { return scalar(std::nullopt, nullptr, false); }

    bool start_object(std::size_t /*size*/) override { return open(child_role(false), false); }
    bool start_array(std::size_t /*size*/) override { return open(child_role(true), true); }
    bool end_array() override { return close(); }
    bool end_object() override {
        if (levels_.back().role == Role::sample) keep_sample();
        return close();
    }

    bool key(string_t& name) override {
        Level& level = levels_.back();
        const auto keys = keys_of(level.role);
        const auto found = std::find(keys.begin(), keys.end(), name);
        level.key = static_cast<std::size_t>(found - keys.begin());
        if (found == keys.end()) return true;
        const std::uint32_t bit = 1u << level.key;
        if ((level.seen & bit) != 0) fail(pointer(), "stands twice; which one is meant cannot be told");
        level.seen |= bit;
        return true;
    }

    bool parse_error(std::size_t byte, const std::string& /*token*/,
                     const nlohmann::detail::exception& error) override {
        if (byte >= text_.size()) fail("", "the file is cut short: the JSON does not end");
        if (dynamic_cast<const json::out_of_range*>(&error) != nullptr) {
            fail(pointer(), fmt::format("a number beyond all bounds ({})", place_in_text(text_, byte)));
        }
        fail("", fmt::format("not valid JSON ({})", place_in_text(text_, byte)));
    }

private:
    struct Level {
        Role role;
        bool is_array;
        std::uint32_t seen;
        std::size_t key;    ///< of the keys that are read in this role; their count for any other
        std::size_t index;  ///< of the current element of an array
    };

    [[noreturn]] void fail(const std::string& at, const std::string& reason) const {
        throw WeatherError(at.empty() ? fmt::format("{}: {}", name_, reason)
                                      : fmt::format("{}: {}: {}", name_, at, reason));
    }

    [[nodiscard]] std::string pointer() const {
        std::string out;
        for (const Level& level : levels_) {
            const auto keys = keys_of(level.role);
            if (level.is_array) {
                out += fmt::format("/{}", level.index);
            } else if (level.key < keys.size()) {
                out += fmt::format("/{}", keys[level.key]);
            }
        }
        return out;
    }

    /// The role of an object or array that begins here, refusing one where something else belongs.
    [[nodiscard]] Role child_role(bool is_array) {
        if (levels_.empty()) {
            if (is_array) fail("", "expected a JSON object, {...}, at the top");
            return Role::document;
        }
        const Level& parent = levels_.back();
        switch (parent.role) {
            case Role::document:
                if (parent.key > 1) return Role::outside;
                if (is_array) fail(pointer(), "expected an object");
                if (parent.key == 1) return Role::geometry;
                saw_properties_ = true;
                return Role::properties;
            case Role::properties:
                if (parent.key >= kPropertyKeys.size()) return Role::outside;
                if (is_array || parent.key >= kLayerNames.size()) fail(pointer(), "is not what belongs here");
                layer_ = &document_.layers[parent.key];
                return Role::layer;
            case Role::layer:
                if (parent.key >= kLayerKeys.size()) return Role::outside;
                if (parent.key == 0 || !is_array)
                    fail(pointer(), parent.key == 0 ? "expected text" : "expected an array");
                return Role::samples;
            case Role::samples:
                if (is_array) fail(pointer(), R"(expected an object with "validTime" and "value")");
                interval_.reset();
                value_.reset();
                return Role::sample;
            case Role::sample:
                if (parent.key < kSampleKeys.size()) fail(pointer(), "expected a plain value");
                return Role::outside;
            case Role::geometry:
                return parent.key == 0 && is_array ? Role::rings : Role::outside;
            case Role::rings:
                return parent.index == 0 && is_array ? Role::ring : Role::outside;
            case Role::ring:
                return is_array ? Role::vertex : Role::outside;
            case Role::vertex:
                fail(pointer(), "expected the longitude and latitude of a polygon's corner");
            case Role::outside:
                return Role::outside;
        }
        return Role::outside;
    }

    bool open(Role role, bool is_array) {
        if (levels_.size() == kDeepest) fail("", fmt::format("nested more than {} deep", kDeepest));
        levels_.push_back({role, is_array, 0, std::numeric_limits<std::size_t>::max(), 0});
        vertex_.clear();
        return true;
    }

    bool close() {
        if (levels_.back().role == Role::vertex) keep_vertex();
        levels_.pop_back();
        return passed();
    }

    bool passed() {
        if (!levels_.empty()) ++levels_.back().index;
        return true;
    }

    bool scalar(std::optional<double> number, const std::string* text, bool is_null) {
        if (levels_.empty()) fail("", "expected a JSON object, {...}, at the top");
        const Level& level = levels_.back();
        switch (level.role) {
            case Role::document:
                if (level.key >= 2 && level.key < kDocumentKeys.size() && text != nullptr) {
                    problem_ += problem_.empty() ? *text : fmt::format(" ({})", *text);
                }
                break;
            case Role::properties:
                property(level.key, text, is_null);
                break;
            case Role::layer:
                layer_member(level.key, text, is_null);
                break;
            case Role::samples:
                fail(pointer(), R"(expected an object with "validTime" and "value")");
            case Role::sample:
                sample_member(level.key, number, text, is_null);
                break;
            case Role::vertex:
                if (!number) fail(pointer(), "expected a number of degrees");
                vertex_.push_back(*number);
                break;
            default:
                break;
        }
        return passed();
    }

    void property(std::size_t key, const std::string* text, bool is_null) {
        if (key == kLayerNames.size()) {
            if (text == nullptr) fail(pointer(), "expected the time of the forecast as text");
            document_.update_time = *text;
        } else if (key < kLayerNames.size() && !is_null) {
            fail(pointer(), R"(expected an object with "uom" and "values")");
        }
    }

    void layer_member(std::size_t key, const std::string* text, bool is_null) {
        if (key >= kLayerKeys.size() || is_null) return;
        if (key == 1) fail(pointer(), "expected an array");
        if (text == nullptr) fail(pointer(), "expected a unit as text");
        layer_->unit = *text;
    }

    void sample_member(std::size_t key, std::optional<double> number, const std::string* text, bool is_null) {
        if (key == 0) {
            if (text == nullptr) fail(pointer(), "expected an interval as text");
            try {
                interval_ = parse_interval(*text);
            } catch (const std::invalid_argument& error) {
                fail(pointer(), error.what());
            }
        } else if (key == 1) {
            if (!number && !is_null) fail(pointer(), "expected a number or null");
            value_ = number.value_or(std::numeric_limits<double>::quiet_NaN());
        }
    }

    void keep_sample() {
        levels_.back().key = std::numeric_limits<std::size_t>::max();
        if (!interval_) fail(pointer(), "has no \"validTime\"");
        if (!value_) fail(pointer(), "has no \"value\"");
        layer_->samples.push_back({*interval_, *value_});
    }

    void keep_vertex() {
        if (vertex_.size() < 2) fail(pointer(), "expected the longitude and latitude of a polygon's corner");
        document_.cell.push_back({vertex_[0], vertex_[1]});
    }

    const std::string& name_;
    const std::string& text_;
    GridpointDocument document_;
    std::vector<Level> levels_;
    bool saw_properties_ = false;
    std::string problem_;
    LayerDocument* layer_ = nullptr;
    std::optional<Interval> interval_;
    std::optional<double> value_;
    std::vector<double> vertex_;
};

}  // namespace

GridpointDocument read_gridpoint_document(const std::string& name, const std::string& text) {
    if (text.size() > kLargestText) {
        throw WeatherError(fmt::format("{}: has {} bytes; a gridpoint answer has far less than {}", name,
                                       text.size(), kLargestText));
    }
    Reader reader(name, text);
    json::sax_parse(text, &reader);
    return reader.take();
}

}  // namespace mildway::weather
