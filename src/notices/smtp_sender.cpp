#include "mildway/base/errors.hpp"
#include "mildway/base/files.hpp"
#include "mildway/base/mail_address.hpp"
#include "mildway/base/pipe_signal.hpp"
#include "mildway/notices/sender.hpp"

#include <algorithm>
#include <array>
#include <cstring>
#include <exception>

#include <curl/curl.h>
#include <fmt/format.h>

namespace mildway::notices {

namespace {

/// Where the talk with the server is.
enum class Phase { before_mail, mail, rcpt, data, text };

/// One message on its way, as libcurl's callbacks see it.
struct Talk {
    std::string_view rest;  ///< not handed over yet
    const std::function<void()>* on_wire = nullptr;
    Phase phase = Phase::before_mail;
    bool given_whole = false;   ///< libcurl has asked beyond the last byte
    bool quitting = false;      ///< what is said from then on tells nothing of the message
    std::string reply;          ///< the server's last line
    int code = 0;               ///< of that line
    int reply_to_text = 0;      ///< code of the first answer after the text began; 0: none yet
    std::exception_ptr failed;  ///< what on_wire threw
};

/// Printable ASCII, cut: it is shown to people and kept in a table.
std::string clean_line(std::string_view line) {
    constexpr std::size_t kLongest = 200;
    std::string out;
    for (const char c : line.substr(0, kLongest)) out += c >= 0x20 && c < 0x7f ? c : ' ';
    while (out.ends_with(' ')) out.pop_back();
    return out;
}

std::size_t read_text(char* into, std::size_t size, std::size_t count, void* talk_pointer) {
    Talk& talk = *static_cast<Talk*>(talk_pointer);
    if (talk.phase != Phase::text) {
        try {
            (*talk.on_wire)();
        } catch (...) {
            talk.failed = std::current_exception();
            return CURL_READFUNC_ABORT;
        }
        talk.phase = Phase::text;
    }
    const std::size_t n = std::min(size * count, talk.rest.size());
    std::memcpy(into, talk.rest.data(), n);
    talk.rest.remove_prefix(n);
    talk.given_whole = n == 0;
    return n;
}

int code_of(std::string_view line) {
    if (line.size() < 3 ||
        !std::all_of(line.begin(), line.begin() + 3, [](char c) { return c >= '0' && c <= '9'; }))
        return 0;
    return (line[0] - '0') * 100 + (line[1] - '0') * 10 + (line[2] - '0');
}

/// Each line that the server says.
std::size_t hear_reply(char* line, std::size_t size, std::size_t count, void* talk_pointer) {
    Talk& talk = *static_cast<Talk*>(talk_pointer);
    const std::string_view said(line, size * count);
    if (talk.quitting) return size * count;
    talk.reply = clean_line(said);
    talk.code = code_of(said);
    if (talk.phase == Phase::text && talk.reply_to_text == 0) talk.reply_to_text = talk.code;
    return size * count;
}

/// What is said to the server: only the command's name is looked at, as a login is among it.
int note_command(CURL* /*curl*/, curl_infotype type, char* data, std::size_t size, void* talk_pointer) {
    if (type != CURLINFO_HEADER_OUT || size < 4) return 0;
    Talk& talk = *static_cast<Talk*>(talk_pointer);
    const std::string_view verb(data, 4);
    if (verb == "MAIL") talk.phase = Phase::mail;
    if (verb == "RCPT") talk.phase = Phase::rcpt;
    if (verb == "DATA") talk.phase = Phase::data;
    if (verb == "QUIT") talk.quitting = true;
    return 0;
}

bool is_no_for_now(int code) {
    return code >= 400 && code < 500;
}

bool is_no(int code) {
    return code >= 500 && code < 600;
}

/// The text was begun, so only the server's own word counts.
Fate fate_of_text(const Talk& talk, CURLcode outcome) {
    if (is_no_for_now(talk.reply_to_text)) return Fate::not_now;
    if (is_no(talk.reply_to_text)) return Fate::refused;
    const bool yes = talk.reply_to_text >= 200 && talk.reply_to_text < 300;
    return outcome == CURLE_OK || (yes && talk.given_whole) ? Fate::taken : Fate::in_doubt;
}

Fate fate_before_text(const Talk& talk) {
    const int code = talk.code;
    const bool of_message = talk.phase == Phase::rcpt || talk.phase == Phase::data;
    if (of_message && is_no(code)) return Fate::refused;
    if ((of_message || talk.phase == Phase::mail) && is_no_for_now(code)) return Fate::not_now;
    return Fate::no_server;
}

class SmtpSender : public Sender {
public:
    explicit SmtpSender(MailSettings settings) : settings_(std::move(settings)) {
        static const CURLcode started = curl_global_init(CURL_GLOBAL_DEFAULT);
        if (started != CURLE_OK) throw SystemError("libcurl does not start, so nothing can be sent");
        if (!settings_.user.empty()) password_ = read_secret(settings_.password_file, SecretKind::password);
    }

    Delivery send(const Envelope& envelope, const std::function<void()>& on_wire) override {
        if (!valid_address(envelope.to))
            throw UsageError(fmt::format("'{}' is no e-mail address that can be written to", envelope.to));
        const PipeSignalHeld quiet;
        Talk talk;
        talk.rest = envelope.bytes;
        talk.on_wire = &on_wire;
        const std::unique_ptr<CURL, decltype(&curl_easy_cleanup)> curl(curl_easy_init(), curl_easy_cleanup);
        const std::unique_ptr<curl_slist, decltype(&curl_slist_free_all)> to(
            curl_slist_append(nullptr, fmt::format("<{}>", envelope.to).c_str()), curl_slist_free_all);
        if (!curl || !to) throw SystemError("libcurl does not start, so nothing can be sent");
        std::array<char, CURL_ERROR_SIZE> why{};
        set_server(curl.get());
        set_message(curl.get(), to.get(), talk);
        curl_easy_setopt(curl.get(), CURLOPT_ERRORBUFFER, why.data());
        const CURLcode outcome = curl_easy_perform(curl.get());
        if (talk.failed) std::rethrow_exception(talk.failed);
        return judged(talk, outcome, why.data());
    }

private:
    void set_server(CURL* curl) const {
        const bool tls = settings_.security == Security::tls;
        const bool v6 = settings_.host.find(':') != std::string::npos;
        const std::string url = fmt::format("{}://{}{}{}:{}", tls ? "smtps" : "smtp", v6 ? "[" : "",
                                            settings_.host, v6 ? "]" : "", settings_.port);
        curl_easy_setopt(curl, CURLOPT_URL, url.c_str());
        curl_easy_setopt(curl, CURLOPT_PROTOCOLS_STR, "smtp,smtps");
        curl_easy_setopt(curl, CURLOPT_PROXY, "");  // a web proxy does not carry mail
        const bool clear = settings_.security == Security::none_local_only;
        curl_easy_setopt(curl, CURLOPT_USE_SSL, static_cast<long>(clear ? CURLUSESSL_NONE : CURLUSESSL_ALL));
        curl_easy_setopt(curl, CURLOPT_SSL_VERIFYPEER, 1L);
        curl_easy_setopt(curl, CURLOPT_SSL_VERIFYHOST, 2L);
        curl_easy_setopt(curl, CURLOPT_SSLVERSION, static_cast<long>(CURL_SSLVERSION_TLSv1_2));
        if (!settings_.ca_file.empty()) curl_easy_setopt(curl, CURLOPT_CAINFO, settings_.ca_file.c_str());
        if (!settings_.user.empty()) {
            curl_easy_setopt(curl, CURLOPT_USERNAME, settings_.user.c_str());
            curl_easy_setopt(curl, CURLOPT_PASSWORD, password_.c_str());
        }
        constexpr long kConnectSeconds = 20;
        constexpr long kTransferSeconds = 60;
        const long answer = settings_.answer_timeout_s;
        curl_easy_setopt(curl, CURLOPT_CONNECTTIMEOUT, kConnectSeconds);
        // the total alone does not bound a server that falls silent (ecosystem.md, 1.3)
        curl_easy_setopt(curl, CURLOPT_SERVER_RESPONSE_TIMEOUT, answer);
        curl_easy_setopt(curl, CURLOPT_TIMEOUT, kConnectSeconds + kTransferSeconds + 3 * answer);
        curl_easy_setopt(curl, CURLOPT_NOSIGNAL, 1L);
    }

    void set_message(CURL* curl, curl_slist* to, Talk& talk) const {
        curl_easy_setopt(curl, CURLOPT_MAIL_FROM, fmt::format("<{}>", settings_.from_address).c_str());
        curl_easy_setopt(curl, CURLOPT_MAIL_RCPT, to);
        curl_easy_setopt(curl, CURLOPT_UPLOAD, 1L);
        curl_easy_setopt(curl, CURLOPT_READFUNCTION, read_text);
        curl_easy_setopt(curl, CURLOPT_READDATA, &talk);
        curl_easy_setopt(curl, CURLOPT_HEADERFUNCTION, hear_reply);
        curl_easy_setopt(curl, CURLOPT_HEADERDATA, &talk);
        curl_easy_setopt(curl, CURLOPT_DEBUGFUNCTION, note_command);
        curl_easy_setopt(curl, CURLOPT_DEBUGDATA, &talk);
        curl_easy_setopt(curl, CURLOPT_VERBOSE, 1L);  // goes to note_command, nowhere else
    }

    [[nodiscard]] static Delivery judged(const Talk& talk, CURLcode outcome, const char* why) {
        const Fate fate = talk.phase == Phase::text ? fate_of_text(talk, outcome) : fate_before_text(talk);
        const bool servers_word = fate == Fate::taken || fate == Fate::refused || fate == Fate::not_now;
        if (servers_word) return {fate, talk.reply};
        const char* general = curl_easy_strerror(outcome);
        return {fate, clean_line(*why != '\0' ? why : general)};
    }

    MailSettings settings_;
    std::string password_;
};

}  // namespace

std::unique_ptr<Sender> smtp_sender(const MailSettings& settings) {
    return std::make_unique<SmtpSender>(settings);
}

}  // namespace mildway::notices
