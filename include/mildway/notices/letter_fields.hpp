// Facts as the fields that templates name (docs/messages.md lists them).
#pragma once

#include "mildway/notices/facts.hpp"
#include "mildway/notices/fields.hpp"
#include "mildway/notices/kind.hpp"

namespace mildway::notices {

/// The same names whatever the facts: a kind's templates can rely on them. A text that may be unknown is
/// empty then, and a flag beside it says so. std::logic_error when the kind needs facts that are missing.
[[nodiscard]] Fields fields_of(Kind kind, const Facts& facts, Instant now);

/// Of an invented order, with every flag true and every list filled: to check templates with.
[[nodiscard]] Fields example_fields(Kind kind);

/// "Tuesday, 2 March 2027"
[[nodiscard]] std::string long_day(Date day);

/// Text on one line: control characters become blanks, runs of blanks one.
[[nodiscard]] std::string one_line(const std::string& text);

}  // namespace mildway::notices
