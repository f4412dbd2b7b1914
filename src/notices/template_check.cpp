#include "template_check.hpp"

#include "mildway/base/errors.hpp"

#include <algorithm>
#include <string_view>
#include <vector>

#include <fmt/format.h>

namespace mildway::notices {

namespace {

std::string trimmed(std::string_view text) {
    const auto from = text.find_first_not_of(" \t\r\n");
    if (from == std::string_view::npos) return "";
    return std::string(text.substr(from, text.find_last_not_of(" \t\r\n") - from + 1));
}

template <class Map>
void add_names(const Map& map, std::vector<std::string>& names) {
    for (const auto& entry : map) names.push_back(entry.first);
}

class Checker {
public:
    Checker(const TemplateFiles& files, const Fields& known) : files_(files), known_(known) {}

    /// One file, within the sections that are open where it is included.
    void check(const std::string& name, const std::vector<std::string>& sections) {
        if (std::find(within_.begin(), within_.end(), name) != within_.end())
            fail(name, 0, "includes itself");
        within_.push_back(name);
        std::vector<std::string> open = sections;
        const std::string& text = files_.texts.at(name);
        for (std::size_t at = text.find("{{"); at != std::string::npos; at = text.find("{{", at)) {
            const auto line = 1 + static_cast<int>(std::count(
                                      text.begin(), text.begin() + static_cast<std::ptrdiff_t>(at), '\n'));
            const std::size_t end = text.find("}}", at);
            if (end == std::string::npos) fail(name, line, "has '{{' without '}}'");
            tag({name, line}, trimmed(std::string_view(text).substr(at + 2, end - at - 2)), sections.size(),
                open);
            at = end + 2;
        }
        if (open.size() > sections.size())
            fail(name, 0,
                 fmt::format("opens '{{{{#{0}}}}}' and never closes it; expected '{{{{/{0}}}}}'",
                             open.back()));
        within_.pop_back();
    }

private:
    struct Where {
        const std::string& name;
        int line;
    };

    [[noreturn]] void fail(const std::string& name, int line, const std::string& what) const {
        throw InputError(files_.folder + "/" + name, "", line, what);
    }

    void tag(const Where& where, const std::string& content, std::size_t outer,
             std::vector<std::string>& open) {
        if (content.empty()) fail(where.name, where.line, "has a tag without a name");
        const std::string name = trimmed(std::string_view(content).substr(1));
        switch (content.front()) {
            case '!':
                return;
            case '#':
            case '^':
                section(where, name, open);
                return;
            case '/':
                close(where, name, outer, open);
                return;
            case '>':
                part(where, name, open);
                return;
            case '{':
            case '&':
            case '=':
                fail(where.name, where.line,
                     fmt::format("has the tag '{{{{{}}}}}', which would let text in as it is; expected plain "
                                 "names only",
                                 content));
            default:
                variable(where, content, open);
        }
    }

    void section(const Where& where, const std::string& name, std::vector<std::string>& open) const {
        if (known_.flags.count(name) == 0 && known_.lists.count(name) == 0) {
            std::vector<std::string> names;
            add_names(known_.flags, names);
            add_names(known_.lists, names);
            fail(where.name, where.line, unknown_name_message("yes-or-no field or list", name, names));
        }
        open.push_back(name);
    }

    void close(const Where& where, const std::string& name, std::size_t outer,
               std::vector<std::string>& open) const {
        if (open.size() <= outer || open.back() != name) {
            fail(where.name, where.line,
                 open.size() <= outer
                     ? fmt::format("closes '{}', which is not open", name)
                     : fmt::format("closes '{}' where '{}' is to be closed first", name, open.back()));
        }
        open.pop_back();
    }

    void part(const Where& where, const std::string& name, const std::vector<std::string>& open) {
        const std::string file = name + files_.ending;
        if (files_.texts.count(file) == 0)
            fail(where.name, where.line, fmt::format("includes '{}', but there is no file {}", name, file));
        check(file, open);
    }

    void variable(const Where& where, const std::string& name, const std::vector<std::string>& open) const {
        if (known_.texts.count(name) != 0) return;
        std::vector<std::string> names;
        add_names(known_.texts, names);
        for (const std::string& section : open) {
            const auto list = known_.lists.find(section);
            if (list == known_.lists.end() || list->second.empty()) continue;
            if (list->second.front().count(name) != 0) return;
            add_names(list->second.front(), names);
        }
        fail(where.name, where.line, unknown_name_message("field", name, names));
    }

    const TemplateFiles& files_;
    const Fields& known_;
    std::vector<std::string> within_;  ///< files being checked, each included by the one before
};

}  // namespace

void check_template(const TemplateFiles& files, const std::string& name, const Fields& known) {
    Checker(files, known).check(name, {});
}

}  // namespace mildway::notices
