#include "store_errors.hpp"

#include "mildway/base/errors.hpp"

#include <cerrno>
#include <cstring>
#include <string>

#include <fmt/format.h>
#include <sqlite3.h>

namespace mildway::orders {

namespace {

constexpr int kPrimaryCode = 0xff;  // of an extended code (sqlite.org/rescode.html)

bool says_full(int system_error) {
    return system_error == ENOSPC || system_error == EDQUOT;
}

std::string of_the_system(int system_error) {
    return system_error == 0 ? "" : fmt::format(" ({})", std::strerror(system_error));
}

[[noreturn]] void disk_full(const std::string& file) {
    throw SystemError(
        fmt::format("{}: the disk is full, so nothing was changed; free some space and try again", file));
}

[[noreturn]] void cannot_change(const std::string& file) {
    throw SystemError(fmt::format(
        "{}: may only be read, so nothing was changed; the file and its folder must be writable", file));
}

[[noreturn]] void half_changed(const std::string& file) {
    throw SystemError(
        fmt::format("{}: a program died in the middle of a change, and undoing that half change takes the "
                    "right to write; run the command again as somebody who may write to the file and its "
                    "folder",
                    file));
}

[[noreturn]] void cannot_open(const std::string& file, int system_error) {
    throw SystemError(fmt::format(
        "{}: cannot be opened{}; the file must be readable, and its folder writable, because SQLite keeps "
        "two small files beside it",
        file, of_the_system(system_error)));
}

[[noreturn]] void damaged(const std::string& file, const std::string& said) {
    throw InputError(file, "", 0,
                     fmt::format("is damaged ({}); keep it as it is, and go back to a copy of it", said));
}

}  // namespace

void throw_ours(const SQLite::Exception& error, const std::filesystem::path& path, sqlite3* handle) {
    const std::string file = path.string();
    const int code = error.getErrorCode();
    const int system_error = handle == nullptr ? 0 : sqlite3_system_errno(handle);
    switch (code & kPrimaryCode) {
        case SQLITE_FULL:
            disk_full(file);
        case SQLITE_BUSY:
        case SQLITE_LOCKED:
        case SQLITE_PROTOCOL:
            throw SystemError(
                fmt::format("{}: another program has kept it locked for too long, so nothing was "
                            "changed; try again when that one is done",
                            file));
        case SQLITE_READONLY:
            if (error.getExtendedErrorCode() == SQLITE_READONLY_ROLLBACK) half_changed(file);
            cannot_change(file);
        case SQLITE_CANTOPEN:
            if (says_full(system_error)) disk_full(file);
            cannot_open(file, system_error);
        case SQLITE_NOTADB:
            throw InputError(file, "", 0, "is not an SQLite file; expected an order book");
        case SQLITE_CORRUPT:
            damaged(file, error.what());
        case SQLITE_IOERR:
            if (says_full(system_error)) disk_full(file);
            throw SystemError(fmt::format("{}: the disk failed: {}{}; check it, then try again", file,
                                          error.what(), of_the_system(system_error)));
        case SQLITE_NOMEM:
            throw SystemError(fmt::format("{}: there is not enough memory", file));
        default:
            throw SystemError(fmt::format("{}: SQLite refused: {} (code {})", file, error.what(), code));
    }
}

}  // namespace mildway::orders
