// Asking for answers by way of the cache.
#pragma once

#include "mildway/fetch/disk_cache.hpp"
#include "mildway/fetch/transport.hpp"

#include <functional>
#include <span>
#include <string>
#include <vector>

namespace mildway::fetch {

/// Something to be fetched.
struct Wanted {
    std::string url;
    std::string secret_query;  ///< see Request
    std::string accept = "application/json";
    int at_once = 8;
    seconds fresh_for{1800};  ///< a kept copy younger than this, or than the server's own word if that is
                              ///< longer, is used without asking
    seconds keep_for{14 * 86400};  ///< a kept copy younger than this is used when the service does not answer
    bool ask_anyway = false;       ///< ask even if the kept copy is fresh
    /// Throws Error when a body is not what was wanted (an error page, cut short, nonsense). Such an answer
    /// counts as trouble: it is not kept, and never replaces a good copy.
    std::function<void(const std::string& body)> check;
};

/// What was got.
struct Got {
    std::string body;     ///< a good one, just come or kept; empty when there is none
    Instant fetched;      ///< when the service last sent or confirmed this body
    bool kept = false;    ///< from the cache without the service's confirmation in this call
    int status = 0;       ///< of the service's answer in this call; 0 when it was not asked or did not answer
    std::string trouble;  ///< why the service gave no good answer in this call, with its host:
                          ///< "api.example.org: answered 503". Empty when it did, or when the copy is fresh.
                          ///< Set with a body: the body is an old copy
    std::string error_body;  ///< body of an answer other than 200, for what the service says about it

    [[nodiscard]] bool good() const { return !body.empty(); }
};

/// Keys of the cache are URL and accepted type. May be used by several threads at once.
class Fetcher {
public:
    using Clock = std::function<Instant()>;
    using Remark =
        std::function<void(const std::string&)>;  ///< a sentence for a person; may come from any thread

    /// Borrows transport and cache. Without a transport (offline) only kept copies are given, whatever their
    /// age up to keep_for, with `kept` set and, when not fresh, a trouble that says offline.
    Fetcher(const Transport* transport, const DiskCache* cache, Clock clock, Remark remark = {});

    /// One result for each, in order; equal ones are asked for once. A cache that cannot be written is no
    /// reason to fail: it is remarked.
    [[nodiscard]] std::vector<Got> get(std::span<const Wanted> wanted) const;
    [[nodiscard]] Got get(const Wanted& wanted) const;

    [[nodiscard]] bool offline() const { return transport_ == nullptr; }
    [[nodiscard]] Instant now() const { return clock_(); }
    [[nodiscard]] const DiskCache& cache() const { return *cache_; }

private:
    const Transport* transport_;
    const DiskCache* cache_;
    Clock clock_;
    Remark remark_;
};

}  // namespace mildway::fetch
