// Asking web services, many at once.
#pragma once

#include "mildway/base/time.hpp"

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace mildway::fetch {

/// A GET.
struct Request {
    std::string url;
    std::string secret_query;  ///< appended to the URL on the wire ("&apikey=..."), shown and stored nowhere
    std::string accept = "application/json";
    std::string if_none_match;      ///< an ETag as it was received; empty for none
    std::string if_modified_since;  ///< a Last-Modified as it was received; empty for none
    int at_once = 8;                ///< at most so many requests to this host at a time
};

/// What came of it after all tries.
struct Answer {
    int status = 0;       ///< HTTP status of the last try; 0 when no whole answer came
    std::string trouble;  ///< why there is no whole answer, as a clause: "did not answer within 20 s". Empty
                          ///< whenever there is one, also for 404 or 503
    std::string body;
    std::string content_type;
    std::string etag;
    std::string last_modified;
    std::optional<Instant> server_time;  ///< the Date header, plus Age: what its clock says now
    std::optional<seconds> fresh_for;    ///< from Cache-Control: max-age, else Expires less Date; less Age
    std::optional<seconds> retry_after;
    int tries = 0;
};

/// Carries requests. One object may be used by several threads at once.
class Transport {
public:
    Transport() = default;
    Transport(const Transport&) = delete;
    Transport& operator=(const Transport&) = delete;
    Transport(Transport&&) = delete;
    Transport& operator=(Transport&&) = delete;
    virtual ~Transport() = default;

    /// One answer for each request, in order. Never throws for what a server or the network does.
    [[nodiscard]] virtual std::vector<Answer> get(std::span<const Request> requests) const = 0;
};

}  // namespace mildway::fetch
