#include "url.hpp"

namespace mildway::fetch {

std::string host_of(std::string_view url) {
    for (const std::string_view scheme : {"https://", "http://"}) {
        if (!url.starts_with(scheme)) continue;
        url.remove_prefix(scheme.size());
        url = url.substr(0, url.find_first_of("/?#"));
        return std::string(url.substr(url.rfind('@') + 1));  // npos + 1 is 0
    }
    return {};
}

bool is_loopback(std::string_view host) {
    const auto is = [&](std::string_view name) {
        return host == name || host.starts_with(std::string(name) + ":");
    };
    return is("localhost") || is("[::1]") || host.starts_with("127.");
}

}  // namespace mildway::fetch
