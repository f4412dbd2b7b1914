// One request on the wire and its answer: a single try.
#pragma once

#include "mildway/fetch/curl_transport.hpp"

#include "curl_handles.hpp"

namespace mildway::fetch {

/// A try under way. libcurl holds pointers into it: it stays where it is.
class Exchange {
public:
    /// `time` bounds the whole try. Throws std::bad_alloc only.
    Exchange(const Request& request, const CurlOptions& options, milliseconds time);
    Exchange(const Exchange&) = delete;
    Exchange& operator=(const Exchange&) = delete;
    Exchange(Exchange&&) = delete;
    Exchange& operator=(Exchange&&) = delete;
    ~Exchange() = default;

    [[nodiscard]] CURL* handle() const { return easy_.get(); }

    /// What came, when libcurl has finished with `result`. Call once.
    [[nodiscard]] Answer take(CURLcode result);

private:
    static std::size_t receive(char* bytes, std::size_t one, std::size_t count, void* self);
    static int watch(void* self, curl_off_t to_come, curl_off_t received, curl_off_t to_send,
                     curl_off_t sent);
    void set_headers(const Request& request);
    void set_bounds(const Request& request);
    [[nodiscard]] bool is_connected() const;
    [[nodiscard]] std::string trouble_of(CURLcode result) const;
    [[nodiscard]] std::string time_out() const;

    const CurlOptions& options_;
    milliseconds time_;
    EasyHandle easy_;
    HeaderList headers_;
    std::string body_;
    bool too_large_ = false;
    bool silent_ = false;
    curl_off_t received_ = 0;  ///< bytes of the body, as they came
    std::chrono::steady_clock::time_point last_byte_ = std::chrono::steady_clock::now();
};

/// Whether another try may help.
[[nodiscard]] bool worth_another_try(CURLcode result, const Answer& answer);

}  // namespace mildway::fetch
