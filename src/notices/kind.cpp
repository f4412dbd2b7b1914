#include "mildway/notices/kind.hpp"

#include "mildway/base/names.hpp"

#include <array>
#include <cstddef>

namespace mildway::notices {

namespace {

constexpr std::array<std::string_view, 8> kKinds{"window",      "date",    "moved", "taken-back",
                                                 "handed-over", "receive", "delay", "cancelled"};

}  // namespace

std::string_view kind_name(Kind kind) {
    return kKinds[static_cast<std::size_t>(kind)];
}

std::optional<Kind> kind_of(std::string_view name) {
    return value_named<Kind>(kKinds, name);
}

}  // namespace mildway::notices
