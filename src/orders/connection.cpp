#include "connection.hpp"

#include "mildway/base/errors.hpp"

#include "schema.hpp"
#include "store_errors.hpp"

#include <cerrno>
#include <cstdint>
#include <cstring>
#include <string>
#include <thread>

#include <SQLiteCpp/Backup.h>
#include <SQLiteCpp/Column.h>
#include <SQLiteCpp/Statement.h>
#include <SQLiteCpp/Transaction.h>
#include <fcntl.h>
#include <fmt/format.h>
#include <sqlite3.h>
#include <sys/statvfs.h>
#include <unistd.h>

namespace mildway::orders {

namespace fs = std::filesystem;

namespace {

using Connection = std::unique_ptr<SQLite::Database>;

fs::path folder_of(const fs::path& file) {
    return file.has_parent_path() ? file.parent_path() : fs::path(".");
}

[[noreturn]] void foreign(const fs::path& file) {
    throw InputError(file.string(), "", 0, "is an SQLite file of another program; expected an order book");
}

enum class Found { nothing, file };

/// `rights` as of access(2).
Found look_at(const fs::path& file, int rights) {
    std::error_code error;
    const auto status = fs::status(file, error);
    if (status.type() == fs::file_type::not_found) return Found::nothing;
    if (error) throw SystemError(fmt::format("{}: cannot be looked at ({})", file.string(), error.message()));
    if (status.type() != fs::file_type::regular)
        throw InputError(file.string(), "", 0, "is not a file; expected an order book");
    // Not by opening it: closing it again would drop the locks that this program has on it.
    if (::faccessat(AT_FDCWD, file.c_str(), rights, AT_EACCESS) != 0) {
        throw SystemError(fmt::format("{}: {} ({})", file.string(),
                                      rights == R_OK ? "cannot be read" : "may only be read, not changed",
                                      std::strerror(errno)));
    }
    return Found::file;
}

/// SQLite gives its -wal and -shm files the mode of the file itself.
void create_empty(const fs::path& file) {
    const int fd = ::open(file.c_str(), O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
    if (fd >= 0) {
        ::close(fd);
    } else if (errno != EEXIST) {  // another program was first
        throw SystemError(fmt::format("{}: cannot be made ({})", file.string(), std::strerror(errno)));
    }
}

std::int64_t ask(const SQLite::Database& database, const char* question) {
    SQLite::Statement asking(database, question);
    asking.executeStep();
    return asking.getColumn(0).getInt64();
}

void set_up(SQLite::Database& database) {
    sqlite3* handle = database.getHandle();
    sqlite3_extended_result_codes(handle, 1);
    sqlite3_db_config(handle, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
    database.exec(
        "PRAGMA trusted_schema = OFF; PRAGMA cell_size_check = ON; PRAGMA foreign_keys = ON; "
        "PRAGMA synchronous = FULL");
}

/// SQLite reads the end of a page that is missing as zeros. A book is cut inside a page only for as long as
/// the pages are in the write-ahead log.
void check_whole(const SQLite::Database& database, const fs::path& file) {
    std::error_code error;
    const auto size = static_cast<std::int64_t>(fs::file_size(file, error));
    if (error || size % ask(database, "PRAGMA page_size") == 0 || fs::exists(file.string() + "-wal", error))
        return;
    throw InputError(file.string(), "", 0,
                     "is damaged (its end is missing); keep it as it is, and go back to a copy of it");
}

/// The version of a book that this program can read; 0 when nothing is in it yet.
int checked_version(SQLite::Database& database, const fs::path& file) {
    check_whole(database, file);
    const SQLite::Transaction same_state(database);  // another program may be making the tables
    const std::int64_t owner = ask(database, "PRAGMA application_id");
    const int version = version_of(database);
    if (owner == 0 && version == 0 && ask(database, "SELECT count(*) FROM sqlite_schema") == 0) return 0;
    if (owner != kApplicationId) foreign(file);
    const int newest = static_cast<int>(all_steps().size());
    if (version > newest) {
        throw InputError(
            file.string(), "", 0,
            fmt::format("is an order book of version {}, written by a newer mildway; this one knows versions "
                        "up to {}: install the newer one",
                        version, newest));
    }
    return version;
}

/// One thread alone uses a connection, so SQLite's own locks between threads are not needed.
Connection opened(const std::string& name, int flags, std::chrono::milliseconds patience) {
    return std::make_unique<SQLite::Database>(name, flags | SQLite::OPEN_NOMUTEX,
                                              static_cast<int>(patience.count()));
}

/// Kept in the file once set. Where the disk cannot do it (some network drives) SQLite keeps its rollback
/// journal: as safe, but readers and the writer wait for each other. For this one lock SQLite does not wait
/// by itself.
void use_write_ahead_log(SQLite::Database& database, std::chrono::milliseconds patience) {
    constexpr std::chrono::milliseconds kPause{5};
    for (std::chrono::milliseconds waited{0};; waited += kPause) {
        const int code = database.tryExec("PRAGMA journal_mode = WAL");
        if (code == SQLITE_OK) return;
        if ((code & 0xff) != SQLITE_BUSY || waited >= patience) database.check(code);
        std::this_thread::sleep_for(kPause);
    }
}

bool on_read_only_mount(const fs::path& file) {
    struct statvfs mount {};
    return ::statvfs(folder_of(file).c_str(), &mount) == 0 && (mount.f_flag & ST_RDONLY) != 0;
}

/// "file:" with everything escaped that has a meaning in a URI (sqlite.org/uri.html).
std::string uri_of(const fs::path& file) {
    std::string uri = "file:";
    for (const char letter : file.string()) {
        if (letter == '%' || letter == '?' || letter == '#') {
            uri += fmt::format("%{:02X}", static_cast<unsigned>(letter));
        } else {
            uri += letter;
        }
    }
    return uri;
}

/// Nobody can write there, so SQLite's two files beside the book are not needed; it could not make them.
Connection open_where_nobody_writes(const fs::path& file) {
    std::error_code error;
    const auto waiting = fs::file_size(file.string() + "-wal", error);
    if (!error && waiting > 0) {
        throw SystemError(fmt::format(
            "{}: the newest changes are still in {}-wal, and this disk may only be read; copy both files to "
            "one folder of another disk and use that",
            file.string(), file.filename().string()));
    }
    return opened(uri_of(file) + "?immutable=1", SQLite::OPEN_READONLY | SQLite::OPEN_URI, {});
}

/// Any that makes SQLite look at the file.
constexpr const char* kFirstQuestion = "SELECT count(*) FROM sqlite_schema";

/// Undoes what a program that died in the middle of a change has left half done in the file. Only a
/// connection that may write can: SQLite does it before the first answer. The write-ahead log needs none of
/// this, but a new book has none before its first moments are over, and on some disks no book has one.
void undo_half_change(const fs::path& file, std::chrono::milliseconds patience) {
    const Connection database = opened(file.string(), SQLite::OPEN_READWRITE, patience);
    sqlite3_extended_result_codes(database->getHandle(), 1);
    ask(*database, kFirstQuestion);
}

Connection open_to_read_only(const fs::path& file, std::chrono::milliseconds patience) {
    Connection database = on_read_only_mount(file) ? open_where_nobody_writes(file)
                                                   : opened(file.string(), SQLite::OPEN_READONLY, patience);
    try {
        set_up(*database);
        ask(*database, kFirstQuestion);
    } catch (const SQLite::Exception& error) {
        if (error.getExtendedErrorCode() != SQLITE_READONLY_ROLLBACK) throw;
        undo_half_change(file, patience);
        set_up(*database);
    }
    return database;
}

Connection in_memory() {
    Connection memory = opened(":memory:", SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE, {});
    set_up(*memory);
    return memory;
}

}  // namespace

Connection open_for_writing(const fs::path& file, std::chrono::milliseconds patience) {
    if (look_at(file, R_OK | W_OK) == Found::nothing) create_empty(file);
    Connection database;
    return speaking_of(file, nullptr, [&] {
        database = opened(file.string(), SQLite::OPEN_READWRITE, patience);
        set_up(*database);
        checked_version(*database, file);
        use_write_ahead_log(*database, patience);
        return std::move(database);
    });
}

Connection open_for_reading(const fs::path& file, std::chrono::milliseconds patience) {
    if (look_at(file, R_OK) == Found::nothing) {
        Connection empty = in_memory();
        build_in_memory(*empty);
        return empty;
    }
    return speaking_of(file, nullptr, [&] {
        Connection database = open_to_read_only(file, patience);
        if (checked_version(*database, file) == static_cast<int>(all_steps().size())) return database;
        Connection memory = in_memory();
        SQLite::Backup(*memory, *database).executeStep();
        build_in_memory(*memory);
        return memory;
    });
}

Connection open_for_checking(const fs::path& file, std::chrono::milliseconds patience) {
    return speaking_of(file, nullptr, [&] {
        Connection database = on_read_only_mount(file)
                                  ? open_where_nobody_writes(file)
                                  : opened(file.string(), SQLite::OPEN_READWRITE, patience);
        set_up(*database);
        return database;
    });
}

}  // namespace mildway::orders
