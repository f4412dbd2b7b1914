// What a message about an order tells, from the order and the workspace.
#pragma once

#include "mildway/notices/due.hpp"
#include "mildway/notices/facts.hpp"
#include "mildway/notices/mail_settings.hpp"
#include "mildway/orders/order.hpp"
#include "mildway/planning/workspace.hpp"

namespace mildway::reports {

/// Facts for one message that is due. What a changed workspace does not know any more (a service, a packing)
/// is left out; InputError, naming the order, when it does not know the species.
[[nodiscard]] notices::Facts notify_facts(const orders::Order& order, const notices::Due& due,
                                          const planning::Workspace& workspace,
                                          const notices::MailSettings& mail, Instant now);

}  // namespace mildway::reports
