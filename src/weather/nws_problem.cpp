#include "nws_problem.hpp"

#include "mildway/base/errors.hpp"

#include <fmt/format.h>

namespace mildway::weather {

namespace {

std::string text_or_nothing(const JsonValue& root, std::string_view key) {
    const auto member = root.find(key);
    return member && member->is_text() ? std::string(member->text()) : "";
}

}  // namespace

std::string NwsProblem::words() const {
    if (title.empty() || detail.empty() || title == detail) return title.empty() ? detail : title;
    return fmt::format("{} ({})", title, detail);
}

NwsProblem read_nws_problem(const JsonValue& root) {
    NwsProblem problem;
    const std::string type = text_or_nothing(root, "type");
    problem.kind = type.substr(type.rfind('/') + 1);
    problem.title = text_or_nothing(root, "title");
    problem.detail = text_or_nothing(root, "detail");
    return problem;
}

NwsProblem parse_nws_problem(std::string_view body) {
    try {
        const JsonAnswer answer("an error answer", body);
        return read_nws_problem(answer.root());
    } catch (const WeatherError&) {
        return {};  // the status then says all that is known
    }
}

JsonValue properties_of(const JsonValue& root, std::string_view wanted) {
    if (const auto properties = root.find("properties")) return *properties;
    const std::string words = read_nws_problem(root).words();
    root.fail(words.empty()
                  ? fmt::format("this is not {}: there is no \"properties\"", wanted)
                  : fmt::format("this is an error answer of the service, not {}: {}", wanted, words));
}

}  // namespace mildway::weather
