// Messages to buyers, as text and JSON: what is due, what was sent, what is in the outbox.
#pragma once

#include "mildway/notices/sending.hpp"
#include "mildway/reports/notify_post.hpp"

#include <string>
#include <vector>

namespace mildway::reports {

/// `whole`: with the text of each message.
[[nodiscard]] std::string notify_preview_text(const Post& post, bool whole);
/// `files`: written by a dry run; empty: none.
[[nodiscard]] std::string notify_preview_json(const Post& post, const std::vector<std::string>& files);

[[nodiscard]] std::string notify_sent_text(const Post& post, const notices::SendReport& report);
[[nodiscard]] std::string notify_sent_json(const Post& post, const notices::SendReport& report);

[[nodiscard]] std::string outbox_text(const std::vector<orders::Message>& messages);
[[nodiscard]] std::string outbox_json(const std::vector<orders::Message>& messages);

}  // namespace mildway::reports
