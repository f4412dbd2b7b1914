#include "mildway/places/open_meteo_finder.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/json_answer.hpp"
#include "mildway/base/text.hpp"

#include "us_states.hpp"

#include <algorithm>
#include <cctype>
#include <cmath>

#include <fmt/format.h>

namespace mildway::places {

namespace {

constexpr std::string_view kFinderName = "Open-Meteo geocoding (GeoNames)";
constexpr seconds kFreshFor{30 * 86400};  // towns do not move
constexpr seconds kKeepFor{365 * 86400};

/// One result, with what a question may ask beyond its place.
struct Result {
    std::string name;
    std::string region;  ///< state or province
    std::string country;
    std::string country_code;
    std::vector<std::string> postcodes;
    Place place;
};

/// What a person typed: "Duluth, MN" is a name and what narrows it.
struct Question {
    std::string name;
    std::vector<std::string> within;
    bool postcode = false;
};

std::string trimmed(std::string_view text) {
    const std::size_t first = text.find_first_not_of(' ');
    if (first == std::string_view::npos) return "";
    return std::string(text.substr(first, text.find_last_not_of(' ') - first + 1));
}

/// "Saint Louis" and "St. Louis" are one name.
std::string plain_name(std::string_view name) {
    std::string out = lower_case(name);
    out.erase(std::remove(out.begin(), out.end(), '.'), out.end());
    for (const auto& [full, brief] : {std::pair<std::string_view, std::string_view>{"saint ", "st "},
                                      {"fort ", "ft "},
                                      {"mount ", "mt "}}) {
        if (out.starts_with(full)) out.replace(0, full.size(), brief);
    }
    return out;
}

bool is_digits(std::string_view text) {
    return !text.empty() &&
           std::all_of(text.begin(), text.end(), [](unsigned char c) { return std::isdigit(c); });
}

/// "55802" or "55802-1234".
bool is_zip(std::string_view text) {
    constexpr std::size_t kShort = 5;
    constexpr std::size_t kLong = 10;
    if (!is_digits(text.substr(0, kShort))) return false;
    return text.size() == kShort ||
           (text.size() == kLong && text[kShort] == '-' && is_digits(text.substr(kShort + 1)));
}

Question understand(const std::string& text) {
    Question question;
    const std::string whole = trimmed(text);
    if (is_zip(whole)) return {whole.substr(0, 5), {}, true};
    std::size_t start = whole.find(',');
    question.name = trimmed(whole.substr(0, start));
    while (start < whole.size()) {
        const std::size_t end = std::min(whole.find(',', start + 1), whole.size());
        question.within.push_back(trimmed(std::string_view(whole).substr(start + 1, end - start - 1)));
        start = end;
    }
    const std::size_t blank = question.name.rfind(' ');
    if (question.within.empty() && blank != std::string::npos &&
        !us_state_name(question.name.substr(blank + 1)).empty()) {
        question.within.push_back(question.name.substr(blank + 1));
        question.name = trimmed(question.name.substr(0, blank));
    }
    return question;
}

bool lies_within(const Result& result, const std::string& area) {
    const std::string wanted = lower_case(area);
    if (wanted == lower_case(result.region) || wanted == lower_case(result.country) ||
        wanted == lower_case(result.country_code))
        return true;
    const bool usa = result.country_code == "US";
    if (usa && wanted == "usa") return true;
    return usa && !us_state_name(area).empty() && us_state_name(area) == result.region;
}

bool answers(const Result& result, const Question& question) {
    if (question.postcode)
        return std::find(result.postcodes.begin(), result.postcodes.end(), question.name) !=
               result.postcodes.end();
    return plain_name(result.name) == plain_name(question.name) &&
           std::all_of(question.within.begin(), question.within.end(),
                       [&](const std::string& area) { return lies_within(result, area); });
}

/// The service leaves out empty and zero members (proto3 JSON).
std::string text_of(const JsonValue& result, std::string_view key) {
    const auto value = result.find_known(key);
    return value ? std::string(value->text()) : "";
}

double coordinate(const JsonValue& result, std::string_view key, double limit) {
    const auto value = result.find_known(key);
    if (!value) return 0;
    if (!(std::abs(value->number()) <= limit)) value->fail("is no coordinate");
    return value->number();
}

Result read_result(const JsonValue& value) {
    Result result;
    result.name = value.at("name").text();
    result.region = text_of(value, "admin1");
    result.country = text_of(value, "country");
    result.country_code = text_of(value, "country_code");
    if (const auto postcodes = value.find_known("postcodes"))
        postcodes->each([&](const JsonValue& code) { result.postcodes.emplace_back(code.text()); });
    if (!value.find_known("latitude") && !value.find_known("longitude")) value.fail("has no coordinates");
    result.place.latitude_deg = coordinate(value, "latitude", 90);
    result.place.longitude_deg = coordinate(value, "longitude", 180);
    result.place.zone = text_of(value, "timezone");
    // without a member the height is 0 or not known, which cannot be told apart
    if (const auto elevation = value.find_known("elevation")) result.place.elevation_m = elevation->number();
    // a province of another country is known by name alone: the country is all that can be told
    result.place.region = result.country_code == "US" ? us_region_named(result.region) : result.country_code;
    if (result.place.region.empty()) result.place.region = result.country_code;
    result.place.name = result.name;
    for (const std::string& area : {result.region, result.country}) {
        if (!area.empty()) result.place.name += ", " + area;
    }
    return result;
}

std::vector<Result> read_results(const std::string& name, const std::string& text) {
    const JsonAnswer answer(name, text);
    if (const auto reason = answer.root().find_known("reason"))
        reason->fail("this is an error answer of the service, not a list of places");
    std::vector<Result> results;
    const auto list = answer.root().find_known("results");
    if (list) {
        list->each([&](const JsonValue& value) { results.push_back(read_result(value)); });
    } else if (!answer.root().find("generationtime_ms")) {
        answer.root().fail("this is not a list of places");
    }
    return results;
}

Candidate candidate_of(Result result) {
    return {std::move(result.place), std::string(kFinderName)};
}

/// RFC 3986, 2.1 and 2.3.
std::string percent_encoded(std::string_view text) {
    std::string out;
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        const bool unreserved = byte < 128 && (std::isalnum(byte) != 0 ||
                                               std::string_view("-._~").find(c) != std::string_view::npos);
        out += unreserved ? std::string(1, c) : fmt::format("%{:02X}", byte);
    }
    return out;
}

}  // namespace

std::vector<Candidate> parse_open_meteo_places(const std::string& name, const std::string& text) {
    std::vector<Candidate> candidates;
    for (Result& result : read_results(name, text)) candidates.push_back(candidate_of(std::move(result)));
    return candidates;
}

OpenMeteoFinder::OpenMeteoFinder(const fetch::Fetcher* fetcher, std::string api_key, std::string base_url)
    : fetcher_(fetcher), api_key_(std::move(api_key)), base_url_(std::move(base_url)) {}

std::vector<Candidate> OpenMeteoFinder::find(const std::string& text) const {
    const Question question = understand(text);
    constexpr std::size_t kShortest = 2;  // the service finds nothing by less
    if (question.name.size() < kShortest) return {};
    fetch::Wanted wanted;
    wanted.url = fmt::format("{}/v1/search?name={}&count=50&language=en&format=json", base_url_,
                             percent_encoded(question.name));
    if (!api_key_.empty()) wanted.secret_query = "&apikey=" + api_key_;
    wanted.at_once = 1;
    wanted.fresh_for = kFreshFor;
    wanted.keep_for = kKeepFor;
    wanted.check = [url = wanted.url](const std::string& body) {
        static_cast<void>(read_results(url, body));
    };
    const fetch::Got got = fetcher_->get(wanted);
    if (!got.good()) throw WeatherError(fmt::format("{}: {}", kFinderName, got.trouble));
    std::vector<Candidate> candidates;
    for (Result& result : read_results(wanted.url, got.body)) {
        if (answers(result, question)) candidates.push_back(candidate_of(std::move(result)));
    }
    return candidates;
}

}  // namespace mildway::places
