// HTTP by libcurl's multi interface.
#pragma once

#include "mildway/fetch/transport.hpp"

#include <chrono>
#include <string>

namespace mildway::fetch {

using std::chrono::milliseconds;

/// Bounds of every request. Redirects stay on https (http only from http), at most 3; certificates are always
/// verified; loopback addresses never go through a proxy.
struct CurlOptions {
    std::string user_agent;             ///< program, version and a contact
    milliseconds connect_time{10'000};  ///< to connect
    milliseconds answer_time{30'000};   ///< for one whole try
    milliseconds silence{10'000};       ///< without a byte
    milliseconds batch_time{90'000};  ///< for one call of get(), all tries and waits; what is left then fails
    std::size_t largest_body = 8u << 20;  ///< after unpacking; a longer one is cut off and counts as trouble
    int tries = 3;                        ///< for time-outs, broken connections, 429 and 5xx
    milliseconds first_wait{2'000};  ///< before the second try; then 2.5 times as long each. Up to a third is
                                     ///< added by chance, so that many clients do not come back together
    milliseconds longest_wait{20'000};  ///< a longer Retry-After ends the tries
    /// A PEM file to trust instead of the system's list; empty for that list.
    std::string trusted_certificates = {};
};

class CurlTransport : public Transport {
public:
    /// Throws SystemError when libcurl cannot be set up, std::invalid_argument for an empty user agent.
    explicit CurlTransport(CurlOptions options);

    [[nodiscard]] std::vector<Answer> get(std::span<const Request> requests) const override;

private:
    CurlOptions options_;
};

}  // namespace mildway::fetch
