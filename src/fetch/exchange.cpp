#include "exchange.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/json_answer.hpp"

#include "answer_headers.hpp"
#include "url.hpp"

#include <algorithm>
#include <new>

#include <fmt/format.h>

namespace mildway::fetch {

namespace {

constexpr long kMostRedirects = 3;

template <class Value>
void set(const EasyHandle& easy, CURLoption option, Value value) {
    // Of the options used here, only those that copy text can fail, and those for want of memory.
    if (curl_easy_setopt(easy.get(), option, value) != CURLE_OK) throw std::bad_alloc();
}

/// Header values come from callers and from files: a line break in one would add headers of its own.
bool is_plain(std::string_view value) {
    return std::all_of(value.begin(), value.end(),
                       [](char letter) { return letter >= ' ' && letter != 0x7f; });
}

void add_header(HeaderList& list, const char* name, const std::string& value) {
    if (value.empty() || !is_plain(value)) return;
    curl_slist* longer = curl_slist_append(list.get(), (std::string(name) + ": " + value).c_str());
    if (longer == nullptr) throw std::bad_alloc();
    (void)list.release();  // appending made it a part of `longer`
    list.reset(longer);
}

std::string spoken(milliseconds time) {
    return fmt::format("{:g} s", static_cast<double>(time.count()) / 1000.0);
}

std::string spoken_size(std::size_t bytes) {
    return bytes >= (1u << 20) ? fmt::format("{} MB", bytes >> 20) : fmt::format("{} bytes", bytes);
}

/// The United States service says this for a grid that is old; it can last for hours.
bool is_expired_grid(const Answer& answer) {
    if (answer.status != 503 || answer.content_type.find("problem+json") == std::string::npos) return false;
    try {
        const JsonAnswer problem("problem", answer.body);
        const auto type = problem.root().find_known("type");
        return type && type->text().ends_with("ForecastGridExpired");
    } catch (const WeatherError&) {
        return false;
    }
}

}  // namespace

Exchange::Exchange(const Request& request, const CurlOptions& options, milliseconds time)
    : options_(options), time_(time), easy_(curl_easy_init()) {
    if (!easy_) throw std::bad_alloc();
    const std::string url = request.url + request.secret_query;
    set(easy_, CURLOPT_URL, url.c_str());
    set(easy_, CURLOPT_WRITEFUNCTION, &Exchange::receive);
    set(easy_, CURLOPT_WRITEDATA, static_cast<void*>(this));
    set_headers(request);
    set_bounds(request);
}

void Exchange::set_headers(const Request& request) {
    add_header(headers_, "Accept", request.accept);
    add_header(headers_, "If-None-Match", request.if_none_match);
    add_header(headers_, "If-Modified-Since", request.if_modified_since);
    set(easy_, CURLOPT_HTTPHEADER, headers_.get());
    set(easy_, CURLOPT_USERAGENT, options_.user_agent.c_str());
    set(easy_, CURLOPT_ACCEPT_ENCODING, "gzip");
}

void Exchange::set_bounds(const Request& request) {
    const bool secure = request.url.starts_with("https:");
    set(easy_, CURLOPT_PROTOCOLS_STR, secure ? "https" : "http");  // of redirects, too
    set(easy_, CURLOPT_FOLLOWLOCATION, 1L);
    set(easy_, CURLOPT_MAXREDIRS, kMostRedirects);
    set(easy_, CURLOPT_SSL_VERIFYPEER, 1L);
    set(easy_, CURLOPT_SSL_VERIFYHOST, 2L);
    if (!options_.trusted_certificates.empty())
        set(easy_, CURLOPT_CAINFO, options_.trusted_certificates.c_str());
    set(easy_, CURLOPT_HTTP_VERSION, static_cast<long>(CURL_HTTP_VERSION_2TLS));
    // Waiting for the first connection to a host shows whether it can carry all requests; without TLS it
    // cannot.
    set(easy_, CURLOPT_PIPEWAIT, secure ? 1L : 0L);
    if (is_loopback(host_of(request.url))) set(easy_, CURLOPT_NOPROXY, "*");

    set(easy_, CURLOPT_CONNECTTIMEOUT_MS, static_cast<long>(std::min(options_.connect_time, time_).count()));
    set(easy_, CURLOPT_TIMEOUT_MS, static_cast<long>(time_.count()));
    set(easy_, CURLOPT_NOPROGRESS, 0L);
    set(easy_, CURLOPT_XFERINFOFUNCTION, &Exchange::watch);
    set(easy_, CURLOPT_XFERINFODATA, static_cast<void*>(this));
    // Signals belong to the program; and a name server that does not answer must not hold up the others while
    // its thread is waited for.
    set(easy_, CURLOPT_NOSIGNAL, 1L);
    set(easy_, CURLOPT_QUICK_EXIT, 1L);
}

std::size_t Exchange::receive(char* bytes, std::size_t one, std::size_t count, void* self) {
    auto& exchange = *static_cast<Exchange*>(self);
    const std::size_t size = one * count;
    // Counted here, after unpacking: libcurl's own limit looks at the length that the server gives.
    if (size > exchange.options_.largest_body - exchange.body_.size()) {
        exchange.too_large_ = true;
        return 0;  // ends the transfer
    }
    exchange.body_.append(bytes, size);
    return size;
}

/// Called whenever libcurl works, and about once a second. (Its own limit of low speed looks at the mean of
/// several seconds, so that a large piece hides the silence after it.)
int Exchange::watch(void* self, curl_off_t /*to_come*/, curl_off_t received, curl_off_t /*to_send*/,
                    curl_off_t /*sent*/) {
    auto& exchange = *static_cast<Exchange*>(self);
    const auto now = std::chrono::steady_clock::now();
    if (!exchange.is_connected() || received != exchange.received_) {
        exchange.received_ = received;
        exchange.last_byte_ = now;
    }
    exchange.silent_ = now - exchange.last_byte_ >= exchange.options_.silence;
    return exchange.silent_ ? 1 : 0;  // 1 ends the transfer
}

bool Exchange::is_connected() const {
    curl_off_t after_us = 0;
    curl_easy_getinfo(handle(), CURLINFO_PRETRANSFER_TIME_T, &after_us);
    return after_us > 0;
}

Answer Exchange::take(CURLcode result) {
    Answer answer;
    answer.trouble = trouble_of(result);
    if (!answer.trouble.empty()) return answer;
    long status = 0;
    curl_easy_getinfo(handle(), CURLINFO_RESPONSE_CODE, &status);
    answer.status = static_cast<int>(status);
    answer.body = std::move(body_);
    read_headers(handle(), answer);
    return answer;
}

std::string Exchange::trouble_of(CURLcode result) const {
    if (too_large_) return "sent more than " + spoken_size(options_.largest_body);
    switch (result) {
        case CURLE_OK:
            return {};
        case CURLE_OPERATION_TIMEDOUT:
        case CURLE_ABORTED_BY_CALLBACK:
            return time_out();
        case CURLE_URL_MALFORMAT:
            return "the address is not one that can be asked";
        case CURLE_COULDNT_RESOLVE_HOST:
            return "the name could not be looked up";
        case CURLE_COULDNT_RESOLVE_PROXY:
            return "the name of the proxy could not be looked up";
        case CURLE_COULDNT_CONNECT:
            return "the connection was refused";
        case CURLE_UNSUPPORTED_PROTOCOL:
            return "redirects to a kind of address that is not followed";
        case CURLE_TOO_MANY_REDIRECTS:
            return "redirects without end";
        case CURLE_PEER_FAILED_VERIFICATION:
            return "the certificate could not be verified";
        case CURLE_SSL_CACERT_BADFILE:
            return "the list of trusted certificates could not be read";
        case CURLE_SSL_CONNECT_ERROR:
            return "no secure connection could be made";
        case CURLE_PARTIAL_FILE:
            return "hung up in the middle of its answer";
        case CURLE_GOT_NOTHING:
            return "hung up without an answer";
        case CURLE_BAD_CONTENT_ENCODING:
            return "sent an answer that could not be unpacked";
        default:
            return "the connection broke";
    }
}

std::string Exchange::time_out() const {
    if (!is_connected())
        return "could not be reached within " + spoken(std::min(options_.connect_time, time_));
    curl_off_t first_byte_us = 0;
    curl_easy_getinfo(handle(), CURLINFO_STARTTRANSFER_TIME_T, &first_byte_us);
    if (first_byte_us == 0) return "did not answer within " + spoken(silent_ ? options_.silence : time_);
    if (silent_) return "fell silent for " + spoken(options_.silence) + " in the middle of its answer";
    return "was still sending after " + spoken(time_);
}

bool worth_another_try(CURLcode result, const Answer& answer) {
    switch (result) {
        case CURLE_OK:
            break;
        case CURLE_OPERATION_TIMEDOUT:
        case CURLE_ABORTED_BY_CALLBACK:
        case CURLE_COULDNT_RESOLVE_HOST:
        case CURLE_COULDNT_RESOLVE_PROXY:
        case CURLE_COULDNT_CONNECT:
        case CURLE_SSL_CONNECT_ERROR:
        case CURLE_PARTIAL_FILE:
        case CURLE_GOT_NOTHING:
        case CURLE_SEND_ERROR:
        case CURLE_RECV_ERROR:
        case CURLE_HTTP2:
        case CURLE_HTTP2_STREAM:
        case CURLE_BAD_CONTENT_ENCODING:
            return true;
        default:
            return false;
    }
    switch (answer.status) {
        case 429:
        case 500:
        case 502:
        case 504:
            return true;
        case 503:
            return !is_expired_grid(answer);
        default:
            return false;
    }
}

}  // namespace mildway::fetch
