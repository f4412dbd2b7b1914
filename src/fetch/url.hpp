// What stands where in an address.
#pragma once

#include <string>
#include <string_view>

namespace mildway::fetch {

/// "api.example.org", or "api.example.org:8080" when a port is given; never a user name. Empty when the text
/// is no http or https address.
[[nodiscard]] std::string host_of(std::string_view url);

/// This computer itself: localhost, 127.*, ::1.
[[nodiscard]] bool is_loopback(std::string_view host);

}  // namespace mildway::fetch
