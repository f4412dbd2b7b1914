#include "mildway/base/version.hpp"

namespace mildway {

std::string_view version() {
    return MILDWAY_VERSION;
}

}  // namespace mildway
