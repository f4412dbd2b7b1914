// Is a text well-formed XML? Enough of it for drawings: elements, attributes, text, the five named entities
// and &#39;. No comments, sections or declarations.
#pragma once

#include <algorithm>
#include <cctype>
#include <string>
#include <string_view>
#include <vector>

namespace mildway::testing {

class XmlCheck {
public:
    explicit XmlCheck(std::string_view text) : rest_(text) {
        skip_blanks();
        if (read_element()) {
            skip_blanks();
            if (problem_.empty() && !rest_.empty()) problem_ = "something follows the root";
        }
    }

    /// Empty when the text is well-formed.
    [[nodiscard]] const std::string& problem() const { return problem_; }
    /// Text between tags, entities resolved to what they stand for.
    [[nodiscard]] const std::vector<std::string>& texts() const { return texts_; }
    [[nodiscard]] std::size_t count(std::string_view element) const {
        std::size_t n = 0;
        for (const auto& name : elements_) n += std::size_t{name == element};
        return n;
    }

private:
    bool fail(const std::string& problem) {
        if (problem_.empty()) problem_ = problem + " before: " + std::string(rest_.substr(0, 60));
        return false;
    }

    bool take(std::string_view wanted) {
        if (!rest_.starts_with(wanted)) return false;
        rest_.remove_prefix(wanted.size());
        return true;
    }

    bool skip_blanks() {
        const auto end = std::min(rest_.find_first_not_of(" \t\r\n"), rest_.size());
        rest_.remove_prefix(end);
        return end > 0;
    }

    std::string read_name() {
        std::size_t end = 0;
        while (end < rest_.size() && (std::isalnum(static_cast<unsigned char>(rest_[end])) != 0 ||
                                      std::string_view("-_:.").find(rest_[end]) != std::string_view::npos))
            ++end;
        std::string name(rest_.substr(0, end));
        rest_.remove_prefix(end);
        return name;
    }

    /// Characters up to one of `stops`, entities resolved.
    bool read_characters(std::string_view stops, std::string& out) {
        while (!rest_.empty() && stops.find(rest_.front()) == std::string_view::npos) {
            const char letter = rest_.front();
            if (letter == '<') return fail("a bare <");
            if (letter == '&') {
                if (!read_entity(out)) return false;
                continue;
            }
            if (static_cast<unsigned char>(letter) < 0x20 && letter != '\n' && letter != '\t' &&
                letter != '\r')
                return fail("a control character");
            out += letter;
            rest_.remove_prefix(1);
        }
        return !rest_.empty() || fail("the text ends too early");
    }

    bool read_entity(std::string& out) {
        struct Entity {
            std::string_view written;
            char stands_for;
        };
        for (const Entity& entity : {Entity{"&amp;", '&'}, Entity{"&lt;", '<'}, Entity{"&gt;", '>'},
                                     Entity{"&quot;", '"'}, Entity{"&apos;", '\''}, Entity{"&#39;", '\''}}) {
            if (!take(entity.written)) continue;
            out += entity.stands_for;
            return true;
        }
        return fail("a bare &");
    }

    bool read_attributes() {
        std::vector<std::string> seen;
        while (skip_blanks() && !rest_.starts_with("/") && !rest_.starts_with(">")) {
            const std::string name = read_name();
            if (name.empty()) return fail("an attribute without a name");
            for (const auto& other : seen) {
                if (other == name) return fail("attribute " + name + " twice");
            }
            seen.push_back(name);
            std::string value;
            if (!take("=\"") || !read_characters("\"", value) || !take("\""))
                return fail("a bad attribute " + name);
        }
        return true;
    }

    bool read_element() {
        if (!take("<")) return fail("an element was expected");
        const std::string name = read_name();
        if (name.empty()) return fail("an element without a name");
        elements_.push_back(name);
        if (!read_attributes()) return false;
        if (take("/>")) return true;
        if (!take(">")) return fail("an open tag " + name);
        while (!rest_.starts_with("</")) {
            std::string text;
            if (rest_.starts_with("<") ? !read_element() : !read_characters("<", text)) return false;
            if (!text.empty()) texts_.push_back(text);
        }
        return (take("</") && read_name() == name && take(">")) || fail("the end of " + name);
    }

    std::string_view rest_;
    std::string problem_;
    std::vector<std::string> elements_;
    std::vector<std::string> texts_;
};

}  // namespace mildway::testing
