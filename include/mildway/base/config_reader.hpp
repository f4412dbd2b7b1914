// Reading a JSON file written by a person: every complaint names the file, the line and the field,
// and a key nobody asked for is an error, not a silent default.
#pragma once

#include "mildway/base/errors.hpp"

#include <chrono>
#include <filesystem>
#include <limits>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <nlohmann/json_fwd.hpp>

namespace mildway {

/// Inclusive bounds of a number.
struct Bounds {
    double low = -std::numeric_limits<double>::infinity();
    double high = std::numeric_limits<double>::infinity();
};

/// A cursor on one JSON object of a file. Copies share the file and the record of which keys were read.
///
/// Call `finish()` when everything known has been read: it throws on the first key that was not.
class ConfigNode {
public:
    /// Parses `text`; `file_name` is used in messages. Throws InputError on anything but a JSON object.
    [[nodiscard]] static ConfigNode parse(std::string file_name, const std::string& text);

    /// Reads and parses a file. Throws InputError when it is missing, too large or not JSON.
    [[nodiscard]] static ConfigNode load(const std::filesystem::path& path);

    [[nodiscard]] bool has(std::string_view key) const;

    [[nodiscard]] double number(std::string_view key, Bounds bounds) const;
    [[nodiscard]] double number_or(std::string_view key, double otherwise, Bounds bounds) const;
    [[nodiscard]] int whole(std::string_view key, int low, int high) const;
    [[nodiscard]] int whole_or(std::string_view key, int otherwise, int low, int high) const;
    [[nodiscard]] std::string text(std::string_view key) const;
    [[nodiscard]] std::string text_or(std::string_view key, std::string otherwise) const;
    [[nodiscard]] bool flag_or(std::string_view key, bool otherwise) const;
    [[nodiscard]] std::vector<std::string> texts(std::string_view key) const;
    [[nodiscard]] std::vector<double> numbers(std::string_view key) const;
    [[nodiscard]] ConfigNode object(std::string_view key) const;
    [[nodiscard]] std::vector<ConfigNode> objects(std::string_view key) const;  ///< an array of objects
    /// A JSON object whose keys are names: (name, value) in the order of the file.
    [[nodiscard]] std::vector<std::pair<std::string, ConfigNode>> named_objects() const;

    /// Text that must be one of `allowed`; returns its index.
    [[nodiscard]] std::size_t choice(std::string_view key, const std::vector<std::string>& allowed) const;

    /// Index of a name that stands under `key` among all that are known; complains with the nearest one.
    /// `kind` is what it should be the name of.
    [[nodiscard]] std::size_t index_of(std::string_view key, std::string_view kind, const std::string& name,
                                       const std::vector<std::string>& known) const;

    /// A local clock time such as "17:30", since midnight.
    [[nodiscard]] std::chrono::minutes clock(std::string_view key) const;

    /// Throws InputError for the field: "file:line: /pointer/key: <expectation>".
    [[noreturn]] void fail(std::string_view key, const std::string& expectation) const;

    /// Throws InputError naming the first key that was never read, and the nearest one that could have been.
    void finish() const;

    [[nodiscard]] const std::string& file() const;

private:
    struct File;
    struct Seen;
    ConfigNode(std::shared_ptr<const File> file, const nlohmann::ordered_json* value, std::string pointer);
    [[nodiscard]] const nlohmann::ordered_json* find(std::string_view key) const;
    [[nodiscard]] const nlohmann::ordered_json& require(std::string_view key,
                                                        std::string_view expected) const;
    [[nodiscard]] double checked(std::string_view key, const nlohmann::ordered_json& value,
                                 Bounds bounds) const;

    std::shared_ptr<const File> file_;
    const nlohmann::ordered_json* value_;
    std::string pointer_;
    std::shared_ptr<Seen> seen_;
};

}  // namespace mildway
