// What the headers of an answer say.
#pragma once

#include "mildway/fetch/transport.hpp"

#include <curl/curl.h>

namespace mildway::fetch {

/// Fills in all but status, body and trouble from the headers of the last answer that `easy` has got.
void read_headers(CURL* easy, Answer& answer);

}  // namespace mildway::fetch
