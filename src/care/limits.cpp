#include "limits.hpp"

#include <algorithm>

namespace mildway::care {

std::vector<std::string> read_names(const ConfigNode& node, std::string_view key, std::string_view kind,
                                    const std::vector<std::string>& known) {
    if (!node.has(key)) return {};
    std::vector<std::string> names = node.texts(key);
    // an empty list would mean "everywhere", the opposite of what it looks like
    if (names.empty()) node.fail(key, "is empty; leave the key out where there is no limit");
    for (const auto& name : names) (void)node.index_of(key, kind, name, known);
    return names;
}

bool allows(const std::vector<std::string>& limit, const std::string& name) {
    return limit.empty() || std::find(limit.begin(), limit.end(), name) != limit.end();
}

}  // namespace mildway::care
