// The tables of the order book, and how an older book becomes a newer one.
#pragma once

#include <filesystem>
#include <vector>

#include <SQLiteCpp/Database.h>

namespace mildway::orders {

/// PRAGMA application_id of every order book: "Mild" as a number.
inline constexpr int kApplicationId = 0x4d696c64;

/// SQL that brings a book of the version before it (its place in the list) one version further.
using Steps = std::vector<const char*>;

/// From an empty file to the newest version.
[[nodiscard]] const Steps& all_steps();

/// PRAGMA user_version.
[[nodiscard]] int version_of(const SQLite::Database& database);

/// Brings the book to the version `steps` end with, in one transaction that takes the write lock first, after
/// a copy "FILE.before-N" was made of a book of version N > 0. Another program may do the same meanwhile.
void bring_up_to_date(SQLite::Database& database, const std::filesystem::path& file,
                      const Steps& steps = all_steps());

/// The same for a database in memory.
void build_in_memory(SQLite::Database& database, const Steps& steps = all_steps());

}  // namespace mildway::orders
