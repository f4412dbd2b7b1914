// What can go wrong, by who has to act. The command line turns each kind into one exit code
// (docs/cli.md); the library itself never prints and never exits.
#pragma once

#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace mildway {

/// Base of every error mildway throws on purpose. `what()` is a sentence a breeder can act on.
class Error : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

/// The command was called in a way that cannot be carried out (exit code 2).
class UsageError : public Error {
public:
    using Error::Error;
};

/// No usable weather at all for the question asked (exit code 3).
class WeatherError : public Error {
public:
    using Error::Error;
};

/// A config or data file is wrong (exit code 4): which file, which field, what was expected.
class InputError : public Error {
public:
    /// `field` is a JSON pointer such as "/packings/2/liner/thickness_mm", or "" for the whole file.
    /// `line` is 1-based; 0 when it is not known.
    InputError(std::string file, std::string field, int line, const std::string& expectation);

    [[nodiscard]] const std::string& file() const noexcept { return file_; }
    [[nodiscard]] const std::string& field() const noexcept { return field_; }
    [[nodiscard]] int line() const noexcept { return line_; }

private:
    std::string file_;
    std::string field_;
    int line_;
};

/// The computer failed us: a file that cannot be written, a full disk (exit code 5).
class SystemError : public Error {
public:
    using Error::Error;
};

/// The candidate closest to `given` by edit distance, or "" when none is close enough to be a likely slip
/// (more than a third of the letters differ).
[[nodiscard]] std::string nearest_name(std::string_view given, const std::vector<std::string>& candidates);

/// "no species 'corn snak'; did you mean 'corn snake'? Known: ..." for lookups by name.
[[nodiscard]] std::string unknown_name_message(std::string_view kind, std::string_view given,
                                               const std::vector<std::string>& known);

}  // namespace mildway
