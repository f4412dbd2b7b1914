// What SQLite says went wrong, in sentences a breeder can act on.
#pragma once

#include <filesystem>
#include <utility>

#include <SQLiteCpp/Exception.h>

struct sqlite3;

namespace mildway::orders {

/// Throws the SystemError or InputError that `error` on the book `file` amounts to. `handle` may be null; it
/// tells what the operating system said last.
[[noreturn]] void throw_ours(const SQLite::Exception& error, const std::filesystem::path& file,
                             sqlite3* handle = nullptr);

/// Calls `work`; SQLite's errors leave as ours.
template <class Work>
decltype(auto) speaking_of(const std::filesystem::path& file, sqlite3* handle, Work&& work) {
    try {
        return std::forward<Work>(work)();
    } catch (const SQLite::Exception& error) {
        throw_ours(error, file, handle);
    }
}

}  // namespace mildway::orders
