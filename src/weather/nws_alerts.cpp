#include "mildway/base/json_answer.hpp"
#include "mildway/weather/nws.hpp"

#include "nws_problem.hpp"
#include "vtec.hpp"

#include <fmt/format.h>

namespace mildway::weather {

namespace {

/// A warning's text may be null or absent.
std::string text_or(const JsonValue& properties, std::string_view key, std::string_view otherwise) {
    const auto member = properties.find_known(key);
    return std::string(member ? member->text() : otherwise);
}

std::optional<Instant> time_of(const JsonValue& properties, std::string_view key) {
    const auto member = properties.find_known(key);
    if (!member) return std::nullopt;
    const auto when = parse_instant(member->text());
    if (!when) member->fail(fmt::format("'{}' is not a time with its offset", member->text()));
    return when;
}

/// The texts of parameters[key], each of which is a list; none when it is absent.
std::vector<std::string> parameters_of(const JsonValue& properties, std::string_view key) {
    std::vector<std::string> texts;
    const auto parameters = properties.find_known("parameters");
    const auto list = parameters ? parameters->find_known(key) : std::nullopt;
    if (list) list->each([&](const JsonValue& text) { texts.emplace_back(text.text()); });
    return texts;
}

struct Codes {
    std::optional<Vtec> current;
    bool all_over = false;  ///< there are codes, and each says that its event is over
};

Codes codes_of(const JsonValue& properties) {
    Codes codes;
    for (const std::string& text : parameters_of(properties, "VTEC")) {
        const auto vtec = parse_vtec(text);
        if (!vtec) continue;
        codes.all_over = !codes.current && vtec->over();
        if (!codes.current && !vtec->over()) codes.current = vtec;
    }
    return codes;
}

Instant begin_of(const JsonValue& properties) {
    for (const char* key : {"onset", "effective", "sent"}) {
        if (const auto when = time_of(properties, key)) return *when;
    }
    properties.fail("says neither when the event begins nor when the message was sent");
}

/// `expires` is not asked: the message lapses then, often long before the event.
std::optional<Instant> end_of(const JsonValue& properties, const std::optional<Vtec>& vtec) {
    if (const auto when = time_of(properties, "ends")) return when;
    for (const std::string& text : parameters_of(properties, "eventEndingTime")) {
        if (const auto when = parse_instant(text)) return when;
    }
    return vtec ? vtec->ends : std::nullopt;
}

/// Empty for tests, drafts and what is called off. A warning that names no status counts: better one too
/// many.
std::optional<Alert> alert_of(const JsonValue& properties) {
    if (text_or(properties, "status", "Actual") != "Actual") return std::nullopt;
    if (text_or(properties, "messageType", "Alert") == "Cancel") return std::nullopt;
    const Codes codes = codes_of(properties);
    if (codes.all_over) return std::nullopt;
    Alert alert;
    alert.event = properties.at("event").text();
    alert.phenomenon = codes.current ? codes.current->phenomenon : phenomenon_of(alert.event);
    alert.severity = text_or(properties, "severity", "Unknown");
    alert.begins = begin_of(properties);
    alert.ends = end_of(properties, codes.current);
    alert.headline = text_or(properties, "headline", "");
    return alert;
}

}  // namespace

std::vector<Alert> parse_nws_alerts(const std::string& name, const std::string& text) {
    const JsonAnswer answer(name, text);
    const JsonValue root = answer.root();
    const auto features = root.find("features");
    if (!features) {
        const std::string words = read_nws_problem(root).words();
        root.fail(words.empty() ? R"(this is not a list of warnings: there is no "features")"
                                : "this is an error answer of the service, not a list of warnings: " + words);
    }
    std::vector<Alert> alerts;
    features->each([&](const JsonValue& feature) {
        if (auto alert = alert_of(feature.at("properties"))) alerts.push_back(std::move(*alert));
    });
    return alerts;
}

}  // namespace mildway::weather
