#include "schema.hpp"

#include "mildway/base/errors.hpp"

#include "tables.hpp"

#include <cerrno>
#include <cstring>
#include <string>
#include <system_error>

#include <SQLiteCpp/Column.h>
#include <SQLiteCpp/Statement.h>
#include <SQLiteCpp/Transaction.h>
#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

namespace mildway::orders {

namespace fs = std::filesystem;

namespace {

int newest(const Steps& steps) {
    return static_cast<int>(steps.size());
}

void run_steps(SQLite::Database& database, int from, const Steps& steps) {
    for (int version = from; version < newest(steps); ++version)
        database.exec(steps[static_cast<std::size_t>(version)]);
    database.exec(fmt::format("PRAGMA application_id = {}", kApplicationId));
    database.exec(fmt::format("PRAGMA user_version = {}", newest(steps)));
}

[[noreturn]] void copy_failed(const fs::path& copy) {
    throw SystemError(
        fmt::format("{}: this copy of the order book could not be written ({}), so the book was not brought "
                    "up to date",
                    copy.string(), std::strerror(errno)));
}

bool taken(const fs::path& name) {
    std::error_code error;
    return fs::exists(fs::symlink_status(name, error));
}

/// A name that is free: "orders.sqlite.before-1", "orders.sqlite.before-1.2", ... No copy is ever written
/// over.
fs::path copy_name(const fs::path& file, int version) {
    const std::string stem = fmt::format("{}.before-{}", file.string(), version);
    fs::path copy = stem;
    for (int number = 2; taken(copy); ++number) copy = fmt::format("{}.{}", stem, number);
    return copy;
}

void flush(const fs::path& path, int flags) {
    const int fd = ::open(path.c_str(), flags | O_CLOEXEC);
    if (fd < 0) copy_failed(path);
    const int result = ::fsync(fd);
    ::close(fd);
    if (result != 0) copy_failed(path);
}

/// SQLite neither sets the mode of a copy nor flushes it to disk.
void copy_before_upgrade(const fs::path& file, int version) {
    const fs::path copy = copy_name(file, version);
    const fs::path part = copy.string() + ".part";
    std::error_code error;
    fs::remove(part, error);  // of a run that was ended; this one holds the write lock
    const int fd = ::open(part.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
    if (fd < 0) copy_failed(part);
    ::close(fd);
    // A connection of its own, because a transaction cannot be copied from inside.
    const SQLite::Database reader(file.string(), SQLite::OPEN_READONLY);
    SQLite::Statement copying(reader, "VACUUM INTO ?1");
    copying.bind(1, part.string());
    copying.executeStep();
    flush(part, O_RDWR);
    fs::rename(part, copy, error);
    if (error) copy_failed(copy);
    flush(copy.has_parent_path() ? copy.parent_path() : fs::path("."), O_RDONLY | O_DIRECTORY);
}

}  // namespace

const Steps& all_steps() {
    static const Steps kSteps{kVersion1, kVersion2};
    return kSteps;
}

int version_of(const SQLite::Database& database) {
    SQLite::Statement asking(database, "PRAGMA user_version");
    asking.executeStep();
    return asking.getColumn(0).getInt();
}

void bring_up_to_date(SQLite::Database& database, const fs::path& file, const Steps& steps) {
    if (version_of(database) == newest(steps)) return;
    SQLite::Transaction transaction(database, SQLite::TransactionBehavior::IMMEDIATE);
    const int version = version_of(database);  // again: another program may have been first
    if (version >= newest(steps)) return;
    if (version > 0) copy_before_upgrade(file, version);
    run_steps(database, version, steps);
    transaction.commit();
}

void build_in_memory(SQLite::Database& database, const Steps& steps) {
    SQLite::Transaction transaction(database);
    run_steps(database, version_of(database), steps);
    transaction.commit();
}

}  // namespace mildway::orders
