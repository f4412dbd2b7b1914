#include "mildway/places/census.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/json_answer.hpp"

#include "us_states.hpp"

#include <algorithm>
#include <cmath>
#include <sstream>

#include <fmt/format.h>

namespace mildway::places {

namespace {

constexpr const char* kName = "US Census geocoder";

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}
bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

/// RFC 3986: everything but the unreserved characters.
std::string percent_encoded(const std::string& text) {
    std::string out;
    for (const char c : text) {
        const bool plain = is_digit(c) || is_letter(c) || c == '-' || c == '.' || c == '_' || c == '~';
        out += plain ? std::string(1, c) : fmt::format("%{:02X}", static_cast<unsigned char>(c));
    }
    return out;
}

/// A first word with a digit in it ("1600", "W6789") and a word with letters after it. "55802-1234" is none.
bool has_house_number(const std::string& text) {
    std::istringstream words(text);
    std::string first;
    words >> first;
    if (std::none_of(first.begin(), first.end(), is_digit)) return false;
    for (std::string word; words >> word;) {
        if (std::any_of(word.begin(), word.end(), is_letter)) return true;
    }
    return false;
}

/// What an answer with status 400 says, [{"errors": [...]}]; empty when it says nothing.
std::string errors_of(const JsonValue& root) {
    std::string all;
    const auto errors = root.find_known("errors");
    if (!errors) return all;
    errors->each(
        [&](const JsonValue& error) { all += fmt::format("{}{}", all.empty() ? "" : "; ", error.text()); });
    return all;
}

std::string errors_in(const std::string& body) {
    try {
        const JsonAnswer answer("an error answer", body);
        return errors_of(answer.root());
    } catch (const WeatherError&) {
        return "";  // a page of HTML: the status says all that is known
    }
}

double degrees(const JsonValue& value, double limit) {
    const double number = value.number();
    if (!(std::abs(number) <= limit))
        value.fail(fmt::format("{:g} is outside -{:g} to {:g} degrees", number, limit, limit));
    return number;
}

Candidate candidate_of(const JsonValue& match) {
    const JsonValue coordinates = match.at("coordinates");
    Candidate candidate;
    candidate.place.name = match.at("matchedAddress").text();
    candidate.place.latitude_deg = degrees(coordinates.at("y"), 90);
    candidate.place.longitude_deg = degrees(coordinates.at("x"), 180);
    if (const auto parts = match.find_known("addressComponents")) {
        if (const auto state = parts->find_known("state")) candidate.place.region = us_region(state->text());
    }
    candidate.source = kName;
    return candidate;
}

}  // namespace

std::vector<Candidate> parse_census(const std::string& name, const std::string& text) {
    const JsonAnswer answer(name, text);
    const JsonValue root = answer.root();
    if (const std::string errors = errors_of(root); !errors.empty())
        root.fail("the geocoder refused: " + errors);
    std::vector<Candidate> candidates;
    root.at("result").at("addressMatches").each([&](const JsonValue& match) {
        candidates.push_back(candidate_of(match));
    });
    return candidates;
}

CensusFinder::CensusFinder(const fetch::Fetcher* fetcher, std::string base_url)
    : fetcher_(fetcher), base_url_(std::move(base_url)) {}

std::vector<Candidate> CensusFinder::find(const std::string& text) const {
    if (!has_house_number(text)) return {};
    fetch::Wanted wanted;
    wanted.url =
        fmt::format("{}/geocoder/locations/onelineaddress?address={}&benchmark=Public_AR_Current&format=json",
                    base_url_, percent_encoded(text));
    wanted.at_once = 2;
    wanted.fresh_for = hours(90 * 24);  // streets stay where they are; the service itself allows no caching
    wanted.keep_for = hours(365 * 24);
    wanted.check = [url = wanted.url](const std::string& body) { (void)parse_census(url, body); };
    const fetch::Got got = fetcher_->get(wanted);
    if (!got.good()) {
        const std::string errors = errors_in(got.error_body);
        throw WeatherError(fmt::format("{}: '{}' could not be looked up: {}{}{}", kName, text, got.trouble,
                                       errors.empty() ? "" : ": ", errors));
    }
    return parse_census(wanted.url, got.body);
}

}  // namespace mildway::places
