// What came of asking a service, in words.
#pragma once

#include "mildway/fetch/fetcher.hpp"
#include "mildway/weather/outlook.hpp"

#include <string>
#include <string_view>

namespace mildway::weather {

/// Why `service` gave nothing: what it says itself, where it says it as JSON, else how it failed to answer.
[[nodiscard]] std::string no_answer(std::string_view service, const fetch::Got& got);

/// Adds a sentence when the service could not be asked and `fetched` is when its last good answer came.
void note_kept_copy(Outlook& outlook, const Place& place, const std::string& trouble, Instant fetched);

}  // namespace mildway::weather
