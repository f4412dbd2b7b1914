#include "asking.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/json_answer.hpp"

#include <fmt/format.h>

namespace mildway::weather {

namespace {

/// The sentence of an error document ("reason" or "detail"); empty when there is none.
std::string own_words(const std::string& body) {
    try {
        const JsonAnswer answer("an error", body);
        if (!answer.root().is_object()) return "";
        for (const char* key : {"reason", "detail"}) {
            const auto said = answer.root().find_known(key);
            if (said && said->is_text()) return std::string(said->text());
        }
    } catch (const WeatherError&) {  // a page of HTML, or nothing
    }
    return "";
}

}  // namespace

std::string no_answer(std::string_view service, const fetch::Got& got) {
    const std::string words = own_words(got.error_body);
    const std::string trouble = got.trouble.empty() ? "gave no answer" : got.trouble;
    return words.empty() ? fmt::format("{}: {}", service, trouble)
                         : fmt::format("{}: {}: \"{}\"", service, trouble, words);
}

void note_kept_copy(Outlook& outlook, const Place& place, const std::string& trouble, Instant fetched) {
    if (trouble.empty()) return;
    const std::string when =
        place.zone.empty() ? format_instant(fetched) : format_local(find_zone(place.zone), fetched);
    outlook.findings.push_back(
        fmt::format("{} gave no new answer ({}): that of {} is used", outlook.source, trouble, when));
}

}  // namespace mildway::weather
