#include "mildway/notices/templates.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/files.hpp"
#include "mildway/base/text.hpp"
#include "mildway/notices/letter_fields.hpp"

#include "template_check.hpp"
#include "wrap.hpp"

#include <algorithm>
#include <string_view>

#include <fmt/format.h>
#include <kainjow/mustache.hpp>

namespace mildway::notices {

namespace {

namespace must = kainjow::mustache;

constexpr std::size_t kLargestFile = 256UL * 1024;
constexpr std::string_view kText = ".txt.mustache";
constexpr std::string_view kHtml = ".html.mustache";
constexpr std::string_view kSubject = "Subject: ";

must::data data_of(const Fields& fields) {
    must::data data;
    for (const auto& [name, text] : fields.texts) data.set(name, text);
    for (const auto& [name, flag] : fields.flags) data.set(name, flag);
    for (const auto& [name, items] : fields.lists) {
        must::data list(must::data::type::list);
        for (const auto& item : items) {
            must::data one;
            for (const auto& [key, text] : item) one.set(key, text);
            list.push_back(one);
        }
        data.set(name, list);
    }
    return data;
}

/// A name that is not there is an error; the library would leave it out.
class StrictContext : public must::context<std::string> {
public:
    StrictContext(const must::data* data, std::string file, std::map<std::string, must::data> parts)
        : must::context<std::string>(data), file_(std::move(file)), parts_(std::move(parts)) {}

    const must::data* get(const std::string& name) const override {
        const must::data* found = must::context<std::string>::get(name);
        if (found == nullptr) throw InputError(file_, "", 0, fmt::format("there is no field '{}'", name));
        return found;
    }
    const must::data* get_partial(const std::string& name) const override {
        const auto found = parts_.find(name);
        if (found == parts_.end()) throw InputError(file_, "", 0, fmt::format("there is no part '{}'", name));
        return &found->second;
    }

private:
    std::string file_;
    std::map<std::string, must::data> parts_;
};

/// Stands for the line end after a tag that has a line to itself. The library drops such a line where the
/// section is shown, but leaves an empty one where it is not.
constexpr char kNoLineEnd = '\x01';

bool is_section_line(std::string_view line) {
    const auto from = line.find_first_not_of(" \t");
    if (from == std::string_view::npos) return false;
    line.remove_prefix(from);
    const bool section = line.starts_with("{{#") || line.starts_with("{{^") || line.starts_with("{{/");
    const auto end = line.find("}}");
    return section && end != std::string_view::npos &&
           line.find_first_not_of(" \t\r", end + 2) == std::string_view::npos;
}

std::string marked(std::string_view text) {
    std::string out;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        const std::string_view line = text.substr(0, end);
        const bool ended = end < text.size();
        out += line;
        if (ended) out += is_section_line(line) ? kNoLineEnd : '\n';
        text.remove_prefix(end + (ended ? 1 : 0));
    }
    return out;
}

std::map<std::string, must::data> parts_of(const std::map<std::string, std::string>& files,
                                           std::string_view ending) {
    std::map<std::string, must::data> parts;
    for (const auto& [name, text] : files) {
        if (name.ends_with(ending))
            parts[name.substr(0, name.size() - ending.size())] = must::data(marked(text));
    }
    return parts;
}

std::string without_final_line_ends(std::string text) {
    while (text.ends_with('\n')) text.pop_back();
    return text;
}

/// The subject, and what comes after it.
std::pair<std::string, std::string> split_subject(const std::string& file, const std::string& text) {
    const std::size_t end = text.find('\n');
    if (!text.starts_with(kSubject) || end == std::string::npos || end <= kSubject.size())
        throw InputError(file, "", 1, "does not begin with a line 'Subject: ...'");
    return {text.substr(kSubject.size(), end - kSubject.size()), text.substr(end + 1)};
}

}  // namespace

Templates Templates::load(const std::filesystem::path& folder) {
    Templates all;
    all.folder_ = folder;
    std::error_code error;
    for (const auto& entry : std::filesystem::directory_iterator(folder, error)) {
        const std::string name = entry.path().filename().string();
        if (!name.ends_with(kText) && !name.ends_with(kHtml)) continue;
        std::string text = read_file(entry.path(), kLargestFile);
        if (!valid_utf8(text)) throw InputError(entry.path().string(), "", 0, "is not UTF-8 text");
        // a part stands within a line or on one of its own: its last line end is not part of it
        all.files_[name] = without_final_line_ends(std::move(text));
    }
    if (error) throw InputError(folder.string(), "", 0, fmt::format("cannot be read: {}", error.message()));
    for (const Kind kind : all_kinds()) {
        const Fields known = example_fields(kind);
        for (const std::string_view ending : {kText, kHtml}) {
            const std::string name = std::string(kind_name(kind)) + std::string(ending);
            if (all.files_.count(name) == 0)
                throw InputError((folder / name).string(), "", 0, "there is no such file");
            check_template({folder.string(), all.files_, std::string(ending)}, name, known);
        }
        (void)all.letter(kind, known);
    }
    return all;
}

Letter Templates::letter(Kind kind, const Fields& fields) const {
    const must::data data = data_of(fields);
    const auto render = [&](std::string_view ending, bool escape) {
        const std::string name = std::string(kind_name(kind)) + std::string(ending);
        const std::string file = (folder_ / name).string();
        must::mustache engine(marked(files_.at(name)));
        if (!escape) engine.set_custom_escape([](const std::string& text) { return text; });
        StrictContext context(&data, file, parts_of(files_, ending));
        std::string text = engine.render(context);
        if (!engine.is_valid()) throw InputError(file, "", 0, engine.error_message());
        text.erase(std::remove(text.begin(), text.end(), kNoLineEnd), text.end());
        return text;
    };
    const std::string file = (folder_ / (std::string(kind_name(kind)) + std::string(kText))).string();
    auto [subject, text] = split_subject(file, render(kText, false));
    return {std::move(subject), wrapped(text), render(kHtml, true) + "\n"};
}

}  // namespace mildway::notices
