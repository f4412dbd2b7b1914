// Buyers: orders of one e-mail address share one.
#include "writing.hpp"

#include <optional>
#include <string>

namespace mildway::orders {

namespace {

struct KnownBuyer {
    std::int64_t id = 0;
    Buyer buyer;
};

std::optional<KnownBuyer> known(Query& row) {
    if (!row.next()) return std::nullopt;
    KnownBuyer found;
    found.id = row.integer();
    found.buyer.name = row.text();
    found.buyer.email = row.text();
    found.buyer.address = row.text();
    found.buyer.scale = row.named(scale_of);
    return found;
}

std::optional<KnownBuyer> buyer_of_email(Store& store, const std::string& email) {
    if (email.empty()) return std::nullopt;
    Query row(store, "SELECT id, name, email, address, scale FROM buyers WHERE email = ?1 AND email <> ''",
              email);
    return known(row);
}

std::optional<KnownBuyer> buyer_without_email(Store& store, std::int64_t id) {
    Query row(store, "SELECT id, name, email, address, scale FROM buyers WHERE id = ?1 AND email = ''", id);
    return known(row);
}

bool same(const Buyer& a, const Buyer& b) {
    return a.name == b.name && a.email == b.email && a.address == b.address && a.scale == b.scale;
}

}  // namespace

WrittenBuyer write_buyer(Store& store, Buyer& buyer, std::int64_t former) {
    auto before =
        buyer.email.empty() ? buyer_without_email(store, former) : buyer_of_email(store, buyer.email);
    if (!before) {
        Query(store, "INSERT INTO buyers (name, email, address, scale) VALUES (?1, ?2, ?3, ?4)", buyer.name,
              buyer.email, buyer.address, scale_name(buyer.scale))
            .run();
        return {store.last_id(), false, {}};
    }
    if (former == 0) {
        if (buyer.name.empty()) buyer.name = before->buyer.name;
        if (buyer.address.empty()) buyer.address = before->buyer.address;
    }
    if (same(buyer, before->buyer)) return {before->id, false, {}};
    Query(store, "UPDATE buyers SET name = ?2, email = ?3, address = ?4, scale = ?5 WHERE id = ?1",
          before->id, buyer.name, buyer.email, buyer.address, scale_name(buyer.scale))
        .run();
    return {before->id, true, before->buyer};
}

void remove_buyer_without_orders(Store& store, std::int64_t buyer) {
    Query(store, "DELETE FROM buyers WHERE id = ?1 AND NOT EXISTS (SELECT 1 FROM orders WHERE buyer_id = ?1)",
          buyer)
        .run();
}

}  // namespace mildway::orders
