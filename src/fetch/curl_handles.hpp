// libcurl's handles, closed by themselves.
#pragma once

#include <memory>

#include <curl/curl.h>

namespace mildway::fetch {

struct CloseEasy {
    void operator()(CURL* handle) const { curl_easy_cleanup(handle); }
};
struct CloseMulti {
    void operator()(CURLM* handle) const { curl_multi_cleanup(handle); }
};
struct FreeList {
    void operator()(curl_slist* list) const { curl_slist_free_all(list); }
};

using EasyHandle = std::unique_ptr<CURL, CloseEasy>;
using MultiHandle = std::unique_ptr<CURLM, CloseMulti>;
using HeaderList = std::unique_ptr<curl_slist, FreeList>;

}  // namespace mildway::fetch
