// Opening the order book's file: what is checked, and how SQLite is set.
#pragma once

#include <chrono>
#include <filesystem>
#include <memory>

#include <SQLiteCpp/Database.h>

namespace mildway::orders {

// Each waits `patience` for another program's lock.

/// For changes; made with mode 0600 when it is not there. May hold an older version of the tables.
[[nodiscard]] std::unique_ptr<SQLite::Database> open_for_writing(const std::filesystem::path& file,
                                                                 std::chrono::milliseconds patience);

/// A database in memory when there is no such file (empty) or it is of an older version (brought up to date
/// there); the file itself is left as it is.
[[nodiscard]] std::unique_ptr<SQLite::Database> open_for_reading(const std::filesystem::path& file,
                                                                 std::chrono::milliseconds patience);

/// Of a file that is there. Not for reading alone where that can be helped: SQLite leaves the CHECKs of the
/// tables out of an integrity check then.
[[nodiscard]] std::unique_ptr<SQLite::Database> open_for_checking(const std::filesystem::path& file,
                                                                  std::chrono::milliseconds patience);

}  // namespace mildway::orders
