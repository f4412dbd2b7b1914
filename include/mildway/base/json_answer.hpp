// Reading JSON that a service sent: fast (simdjson), strict, and every complaint says where.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

namespace mildway {

/// One value of a JsonAnswer, with the way to it for messages. Valid as long as its answer. Copying is cheap.
///
/// Members that `find` or `each` do not ask for are passed over: services add some at any time.
class JsonValue {
public:
    [[nodiscard]] bool is_null() const;
    [[nodiscard]] bool is_object() const;
    [[nodiscard]] bool is_array() const;
    [[nodiscard]] bool is_text() const;
    [[nodiscard]] bool is_number() const;

    /// The member of an object; empty when there is none. Throws WeatherError when this is no object, or when
    /// the key stands twice (which one is meant cannot be told).
    [[nodiscard]] std::optional<JsonValue> find(std::string_view key) const;
    /// The member of an object, or WeatherError "... is missing".
    [[nodiscard]] JsonValue at(std::string_view key) const;
    /// As find, but a null counts as absent.
    [[nodiscard]] std::optional<JsonValue> find_known(std::string_view key) const;

    /// Calls `visit(element)` for each element of an array. Throws WeatherError when this is none.
    void each(const std::function<void(const JsonValue&)>& visit) const;
    /// Calls `visit(key, member)` for each member of an object.
    void each_member(const std::function<void(std::string_view, const JsonValue&)>& visit) const;
    [[nodiscard]] std::size_t size() const;  ///< elements or members; WeatherError for anything else

    /// WeatherError naming the place and what was expected when it is of another type.
    [[nodiscard]] double number() const;
    [[nodiscard]] double number_or_nan() const;  ///< NaN for null
    [[nodiscard]] std::string_view text() const;

    /// Throws WeatherError "name: /pointer: reason".
    [[noreturn]] void fail(std::string_view reason) const;
    [[nodiscard]] std::string pointer() const;

private:
    friend class JsonAnswer;
    struct Step {
        std::string_view key;  ///< of an object; without data for an element of an array
        std::uint32_t index = 0;
    };
    /// The bytes of a simdjson::dom::element, so that its header stays out of ours.
    struct Element {
        alignas(8) std::array<std::byte, 16> bytes;
    };
    JsonValue(const std::string* name, Element element) : name_(name), element_(element) {}
    [[nodiscard]] JsonValue child(Step step, Element element) const;

    const std::string* name_;  ///< of the answer
    Element element_;
    std::array<Step, 10> way_{};  ///< the first steps from the root; answers are shallow
    std::size_t depth_ = 0;
};

/// A parsed answer; owns its text and tree. Throws WeatherError, naming the answer, when it is empty, cut
/// short, no JSON ("line 6"), holds a number beyond all bounds, is nested more than 32 deep, or is larger
/// than `largest` bytes.
class JsonAnswer {
public:
    JsonAnswer(std::string name, std::string_view text, std::size_t largest = 8u << 20);
    ~JsonAnswer();
    JsonAnswer(JsonAnswer&& other) noexcept;
    JsonAnswer& operator=(JsonAnswer&& other) noexcept;
    JsonAnswer(const JsonAnswer&) = delete;
    JsonAnswer& operator=(const JsonAnswer&) = delete;

    [[nodiscard]] JsonValue root() const;
    [[nodiscard]] const std::string& name() const;

private:
    struct Tree;
    std::unique_ptr<Tree> tree_;
};

}  // namespace mildway
