// Text that can be shown, whatever bytes a file holds.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace mildway::learning {

/// Bytes as UTF-8 (RFC 3629). One that is part of no character becomes U+FFFD. Borrows the bytes.
class Utf8Text {
public:
    explicit Utf8Text(std::string_view bytes);

    [[nodiscard]] std::string_view text() const { return replaced_ > 0 ? std::string_view(own_) : bytes_; }
    [[nodiscard]] std::size_t replaced() const { return replaced_; }

private:
    std::string_view bytes_;
    std::string own_;  ///< where a byte had to be replaced
    std::size_t replaced_ = 0;
};

}  // namespace mildway::learning
