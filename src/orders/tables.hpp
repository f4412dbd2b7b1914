// The order book's tables, version by version. A version that books exist of is never changed again: add the
// next one (DEVELOPERS.md).
//
// CHECK with OR, not IN: SQLite builds a table of an IN list at every INSERT, ten times as slow.
// Instants are whole seconds since 1970 UTC, dates ISO 8601 text. Large documents have tables of their own,
// so that a list of orders does not read past them. The columns told_... of orders, and animal_count, say
// again what other tables say, so that a list of orders reads one row of each; OrderBook::faults() compares
// them.
#pragma once

namespace mildway::orders {

inline constexpr const char* kVersion1 = R"sql(
CREATE TABLE buyers (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL,
    email TEXT NOT NULL COLLATE NOCASE,
    address TEXT NOT NULL,
    scale TEXT NOT NULL CHECK (scale = 'celsius' OR scale = 'fahrenheit')
) STRICT;
CREATE UNIQUE INDEX buyers_by_email ON buyers (email) WHERE email <> '';

CREATE TABLE orders (
    id INTEGER PRIMARY KEY,
    number TEXT NOT NULL COLLATE NOCASE UNIQUE CHECK (number <> ''),
    state TEXT NOT NULL CHECK (state = 'open' OR state = 'planned' OR state = 'handed-over'
        OR state = 'arrived' OR state = 'cancelled'),
    buyer_id INTEGER NOT NULL REFERENCES buyers (id),
    destination TEXT NOT NULL,
    place_name TEXT NOT NULL,
    latitude_deg REAL NOT NULL CHECK (latitude_deg BETWEEN -90 AND 90),
    longitude_deg REAL NOT NULL CHECK (longitude_deg BETWEEN -180 AND 180),
    zone TEXT NOT NULL,
    climate TEXT NOT NULL CHECK (climate = 'elsewhere' OR climate = 'tropical'
        OR climate = 'warm-coast-east' OR climate = 'pacific-coast' OR climate = 'western-mountain'
        OR climate = 'western-plain' OR climate = 'alaska'),
    elevation_m REAL,
    region TEXT NOT NULL,
    species TEXT NOT NULL,
    animal_count INTEGER NOT NULL CHECK (animal_count >= 1),
    told_ship_date TEXT CHECK (date(told_ship_date) IS told_ship_date),
    told_delivery_date TEXT CHECK (date(told_delivery_date) IS told_delivery_date),
    told_verdict TEXT CHECK (told_verdict = 'comfortable' OR told_verdict = 'tight'
        OR told_verdict = 'unsafe' OR told_verdict = 'unknown'),
    told_side TEXT CHECK (told_side = 'cold' OR told_side = 'warm'),
    told_flag INTEGER CHECK (told_flag = 0 OR told_flag = 1),
    value_usd REAL CHECK (value_usd >= 0),
    earliest_arrival TEXT CHECK (date(earliest_arrival) IS earliest_arrival),
    latest_arrival TEXT CHECK (date(latest_arrival) IS latest_arrival),
    note TEXT NOT NULL,
    entered INTEGER NOT NULL,
    changed INTEGER NOT NULL,
    revision INTEGER NOT NULL CHECK (revision >= 1),
    handed_over INTEGER,
    choice_version INTEGER,
    proposal_version INTEGER,
    CHECK (earliest_arrival <= latest_arrival),
    CHECK ((choice_version IS NOT NULL) = (state = 'planned' OR state = 'handed-over'
        OR state = 'arrived')),
    CHECK ((told_ship_date IS NOT NULL) = (choice_version IS NOT NULL)),
    CHECK ((told_delivery_date IS NOT NULL) = (choice_version IS NOT NULL)),
    CHECK ((told_verdict IS NOT NULL) = (choice_version IS NOT NULL)),
    CHECK ((told_side IS NOT NULL) = (choice_version IS NOT NULL)),
    CHECK ((told_flag IS NOT NULL) = (choice_version IS NOT NULL)),
    CHECK ((handed_over IS NOT NULL) = (state = 'handed-over' OR state = 'arrived')),
    FOREIGN KEY (id, choice_version) REFERENCES choices (order_id, version),
    FOREIGN KEY (id, proposal_version) REFERENCES proposals (order_id, version)
) STRICT;
CREATE INDEX orders_by_state ON orders (state);
CREATE INDEX orders_by_buyer ON orders (buyer_id);

CREATE TABLE animals (
    order_id INTEGER NOT NULL REFERENCES orders (id),
    position INTEGER NOT NULL CHECK (position >= 1),
    mark TEXT NOT NULL,
    mass_g REAL CHECK (mass_g > 0),
    shell_mm REAL CHECK (shell_mm > 0),
    PRIMARY KEY (order_id, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE buyer_away (
    order_id INTEGER NOT NULL REFERENCES orders (id),
    first_day TEXT NOT NULL CHECK (date(first_day) IS first_day),
    last_day TEXT NOT NULL CHECK (date(last_day) IS last_day),
    PRIMARY KEY (order_id, first_day),
    CHECK (first_day <= last_day)
) STRICT, WITHOUT ROWID;

CREATE TABLE services_allowed (
    order_id INTEGER NOT NULL REFERENCES orders (id),
    position INTEGER NOT NULL CHECK (position >= 1),
    service TEXT NOT NULL,
    PRIMARY KEY (order_id, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE choices (
    order_id INTEGER NOT NULL REFERENCES orders (id),
    version INTEGER NOT NULL CHECK (version >= 1),
    ship_date TEXT NOT NULL CHECK (date(ship_date) IS ship_date),
    service TEXT NOT NULL,
    service_label TEXT NOT NULL,
    carrier_label TEXT NOT NULL,
    packing TEXT NOT NULL,
    packing_label TEXT NOT NULL,
    packed INTEGER NOT NULL,
    handed_over INTEGER NOT NULL,
    cut_off INTEGER NOT NULL,
    promised INTEGER NOT NULL,
    delivery_date TEXT NOT NULL CHECK (date(delivery_date) IS delivery_date),
    held INTEGER NOT NULL CHECK (held = 0 OR held = 1),
    verdict TEXT NOT NULL CHECK (verdict = 'comfortable' OR verdict = 'tight' OR verdict = 'unsafe'
        OR verdict = 'unknown'),
    side TEXT NOT NULL CHECK (side = 'cold' OR side = 'warm'),
    hours_outside REAL,
    chance_outside REAL,
    chance_harm REAL,
    cost_usd REAL NOT NULL,
    chosen INTEGER NOT NULL,
    weather_issued INTEGER NOT NULL,
    chosen_by TEXT NOT NULL,
    PRIMARY KEY (order_id, version)
) STRICT, WITHOUT ROWID;

CREATE TABLE choice_documents (
    id INTEGER PRIMARY KEY,
    order_id INTEGER NOT NULL,
    version INTEGER NOT NULL,
    document TEXT NOT NULL,
    UNIQUE (order_id, version),
    FOREIGN KEY (order_id, version) REFERENCES choices (order_id, version)
) STRICT;

CREATE TABLE proposals (
    order_id INTEGER NOT NULL REFERENCES orders (id),
    version INTEGER NOT NULL CHECK (version >= 1),
    made INTEGER NOT NULL,
    PRIMARY KEY (order_id, version)
) STRICT, WITHOUT ROWID;

CREATE TABLE proposal_days (
    order_id INTEGER NOT NULL,
    version INTEGER NOT NULL,
    position INTEGER NOT NULL CHECK (position >= 1),
    ship_date TEXT NOT NULL CHECK (date(ship_date) IS ship_date),
    arrival_date TEXT NOT NULL CHECK (date(arrival_date) IS arrival_date),
    verdict TEXT NOT NULL CHECK (verdict = 'comfortable' OR verdict = 'tight' OR verdict = 'unsafe'
        OR verdict = 'unknown'),
    PRIMARY KEY (order_id, version, position),
    FOREIGN KEY (order_id, version) REFERENCES proposals (order_id, version)
) STRICT, WITHOUT ROWID;

CREATE TABLE reassessments (
    id INTEGER PRIMARY KEY,
    order_id INTEGER NOT NULL,
    choice_version INTEGER NOT NULL,
    made INTEGER NOT NULL,
    verdict TEXT NOT NULL CHECK (verdict = 'comfortable' OR verdict = 'tight' OR verdict = 'unsafe'
        OR verdict = 'unknown'),
    standing TEXT NOT NULL CHECK (standing = 'comfortable' OR standing = 'tight'
        OR standing = 'unsafe' OR standing = 'unknown'),
    side TEXT NOT NULL CHECK (side = 'cold' OR side = 'warm'),
    hours_outside REAL,
    hours_error REAL,
    chance_outside REAL,
    chance_harm REAL,
    worst_leg TEXT NOT NULL,
    weather_issued INTEGER NOT NULL,
    flagged INTEGER NOT NULL CHECK (flagged = 0 OR flagged = 1),
    better_day TEXT CHECK (date(better_day) IS better_day),
    better_by_hours REAL NOT NULL,
    sentence TEXT NOT NULL,
    FOREIGN KEY (order_id, choice_version) REFERENCES choices (order_id, version)
) STRICT;
CREATE INDEX reassessments_by_choice ON reassessments (order_id, choice_version);

CREATE TABLE events (
    id INTEGER PRIMARY KEY,
    order_id INTEGER NOT NULL REFERENCES orders (id),
    at INTEGER NOT NULL,
    kind TEXT NOT NULL,
    text TEXT NOT NULL
) STRICT;
CREATE INDEX events_by_order ON events (order_id);

CREATE TABLE outcomes (
    order_id INTEGER PRIMARY KEY REFERENCES orders (id),
    arrived INTEGER NOT NULL,
    alive INTEGER NOT NULL CHECK (alive >= 0),
    well INTEGER NOT NULL CHECK (well BETWEEN 0 AND alive),
    inside_c REAL,
    logger_name TEXT NOT NULL,
    note TEXT NOT NULL
) STRICT;

CREATE TABLE logger_files (
    order_id INTEGER PRIMARY KEY REFERENCES outcomes (order_id),
    bytes BLOB NOT NULL CHECK (length(bytes) <= 4194304)
) STRICT;

CREATE TABLE outbox (
    id INTEGER PRIMARY KEY,
    order_id INTEGER NOT NULL REFERENCES orders (id),
    kind TEXT NOT NULL CHECK (kind <> ''),
    version INTEGER NOT NULL,
    issue INTEGER NOT NULL CHECK (issue >= 1),
    told TEXT NOT NULL,
    order_revision INTEGER NOT NULL,
    to_address TEXT NOT NULL,
    subject TEXT NOT NULL,
    message_id TEXT NOT NULL,
    state TEXT NOT NULL CHECK (state = 'written' OR state = 'claimed' OR state = 'on-wire'
        OR state = 'sent' OR state = 'refused' OR state = 'in-doubt' OR state = 'dropped'
        OR state = 'overtaken'),
    attempts INTEGER NOT NULL CHECK (attempts >= 0),
    written INTEGER NOT NULL,
    tried INTEGER,
    reply TEXT NOT NULL,
    UNIQUE (order_id, kind, version, issue)
) STRICT;
CREATE INDEX outbox_by_state ON outbox (state);

CREATE TABLE outbox_bytes (
    message INTEGER PRIMARY KEY REFERENCES outbox (id),
    bytes BLOB NOT NULL
) STRICT;
)sql";

inline constexpr const char* kVersion2 = R"sql(
ALTER TABLE reassessments ADD COLUMN told_hours REAL;
ALTER TABLE reassessments ADD COLUMN trouble TEXT NOT NULL DEFAULT '';
ALTER TABLE reassessments ADD COLUMN better_service TEXT NOT NULL DEFAULT '';
ALTER TABLE reassessments ADD COLUMN better_packing TEXT NOT NULL DEFAULT '';
)sql";

}  // namespace mildway::orders
