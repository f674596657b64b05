/**
 * What each version of the store's schema adds. Entry i leads from version i to i + 1. Never change one
 * that was released: add the next.
 *
 * Readings are where the room goes:
 * - `batch`: the tail; one row a commit, the packed readings of all stations in it (batch.ts).
 * - `chunk`: frames of one station, compressed (chunk.ts). Ranges of one station's chunks never overlap.
 *   `key` is the station's id times 2^43 plus the time of the first frame, so that a station's chunks lie side by side.
 * - `rollup`: minutes of one chunk, same key (rollup-codec.ts); empty where a chunk has so few frames a minute that
 *   they are read as quickly themselves.
 * - `quarantine_pack`: refusals that compaction packed, all older than those in `quarantine` (quarantine-pack.ts).
 * - `station.chunked_to`: batches up to this `seq` are in the station's chunks; those after it are its tail.
 *
 * Of the records of people: `figures` holds versions of what the shop states of itself (costs, an item on the shelf), by
 * subject; `log_correction` takes an entry back and names the one in its place; `outbox` holds what is still to be told.
 */
export const MIGRATIONS: readonly string[] = [
  `
  CREATE TABLE station (
    id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE, chunked_to INTEGER NOT NULL DEFAULT 0,
    first_ms INTEGER NOT NULL, last_ms INTEGER NOT NULL,
    frames INTEGER NOT NULL DEFAULT 0, readings INTEGER NOT NULL DEFAULT 0
  ) STRICT;
  CREATE TABLE text (id INTEGER PRIMARY KEY, text TEXT NOT NULL UNIQUE) STRICT;
  CREATE TABLE batch (seq INTEGER PRIMARY KEY, body BLOB NOT NULL) STRICT;
  CREATE TABLE chunk (key INTEGER PRIMARY KEY, last_ms INTEGER NOT NULL, frames INTEGER NOT NULL, body BLOB NOT NULL) STRICT;
  CREATE TABLE rollup (key INTEGER PRIMARY KEY, last_ms INTEGER NOT NULL, frames INTEGER NOT NULL, body BLOB NOT NULL) STRICT;
  CREATE TABLE repeats (
    station INTEGER NOT NULL, channel INTEGER NOT NULL, duplicates INTEGER NOT NULL, conflicts INTEGER NOT NULL,
    PRIMARY KEY (station, channel)
  ) STRICT, WITHOUT ROWID;
  CREATE TABLE provenance (
    station INTEGER NOT NULL, channel INTEGER NOT NULL, sensor TEXT NOT NULL,
    first_ms INTEGER NOT NULL, last_ms INTEGER NOT NULL,
    PRIMARY KEY (station, channel, sensor)
  ) STRICT, WITHOUT ROWID;

  CREATE TABLE run_gun (id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE) STRICT;
  CREATE TABLE run_chunk (key INTEGER PRIMARY KEY, last_ms INTEGER NOT NULL, runs INTEGER NOT NULL, body BLOB NOT NULL) STRICT;

  CREATE TABLE log_entry (
    id INTEGER PRIMARY KEY AUTOINCREMENT, time INTEGER NOT NULL, gun TEXT NOT NULL, part TEXT NOT NULL,
    action TEXT NOT NULL, found TEXT, note TEXT NOT NULL,
    recorded_at INTEGER NOT NULL, source TEXT NOT NULL, idempotency_key TEXT UNIQUE
  ) STRICT;
  CREATE INDEX log_entry_by_time ON log_entry (time, id);

  CREATE TABLE finding (
    gun TEXT NOT NULL, cause TEXT NOT NULL, raised INTEGER NOT NULL, cleared INTEGER, body TEXT NOT NULL,
    saved_at INTEGER NOT NULL, revised_at INTEGER, withdrawn_at INTEGER,
    PRIMARY KEY (gun, cause, raised)
  ) STRICT, WITHOUT ROWID;
  CREATE INDEX finding_by_raised ON finding (raised);
  CREATE TABLE journal (
    id INTEGER PRIMARY KEY AUTOINCREMENT, shown_at INTEGER NOT NULL, as_of INTEGER NOT NULL, gun TEXT NOT NULL,
    body TEXT NOT NULL, revised_at INTEGER
  ) STRICT;
  CREATE INDEX journal_by_gun ON journal (gun, as_of);

  CREATE TABLE state (key TEXT PRIMARY KEY, bytes BLOB NOT NULL) STRICT;
  CREATE TABLE settings (
    version INTEGER PRIMARY KEY, adopted INTEGER NOT NULL, body TEXT NOT NULL,
    recorded_at INTEGER NOT NULL, who TEXT NOT NULL, why TEXT NOT NULL
  ) STRICT;

  CREATE TABLE retained (topic TEXT PRIMARY KEY, payload BLOB NOT NULL, qos INTEGER NOT NULL) STRICT;
  CREATE TABLE online (station TEXT PRIMARY KEY, online INTEGER NOT NULL, at INTEGER NOT NULL) STRICT;

  CREATE TABLE quarantine (
    id INTEGER PRIMARY KEY AUTOINCREMENT, received_at INTEGER NOT NULL, topic TEXT NOT NULL, reason TEXT NOT NULL,
    detail TEXT NOT NULL, payload BLOB NOT NULL, payload_bytes INTEGER NOT NULL, size INTEGER NOT NULL
  ) STRICT;
  CREATE INDEX quarantine_by_reason ON quarantine (reason, id);
  CREATE TABLE quarantine_count (
    reason TEXT PRIMARY KEY, received INTEGER NOT NULL, kept INTEGER NOT NULL, dropped INTEGER NOT NULL, size INTEGER NOT NULL
  ) STRICT;

  CREATE TABLE counter (name TEXT PRIMARY KEY, value INTEGER NOT NULL) STRICT;
  `,
  `
  CREATE TABLE quarantine_pack (
    first_id INTEGER PRIMARY KEY, last_id INTEGER NOT NULL, entries INTEGER NOT NULL, body BLOB NOT NULL
  ) STRICT;
  `,
  `
  ALTER TABLE log_entry ADD COLUMN who TEXT NOT NULL DEFAULT '';
  CREATE TABLE log_correction (
    id INTEGER PRIMARY KEY AUTOINCREMENT, entry INTEGER NOT NULL UNIQUE, replacement INTEGER,
    at INTEGER NOT NULL, who TEXT NOT NULL, why TEXT NOT NULL
  ) STRICT;

  CREATE TABLE stock_move (
    id INTEGER PRIMARY KEY AUTOINCREMENT, time INTEGER NOT NULL, part TEXT NOT NULL, kind TEXT NOT NULL,
    quantity INTEGER NOT NULL, note TEXT NOT NULL, recorded_at INTEGER NOT NULL, who TEXT NOT NULL,
    undone_at INTEGER, undone_by TEXT, idempotency_key TEXT UNIQUE
  ) STRICT;
  CREATE INDEX stock_move_by_part ON stock_move (part, time, id);

  CREATE TABLE figures (
    id INTEGER PRIMARY KEY AUTOINCREMENT, subject TEXT NOT NULL, version INTEGER NOT NULL, body TEXT NOT NULL,
    recorded_at INTEGER NOT NULL, who TEXT NOT NULL, UNIQUE (subject, version)
  ) STRICT;

  CREATE TABLE outbox (
    id INTEGER PRIMARY KEY AUTOINCREMENT, key TEXT NOT NULL UNIQUE, target TEXT NOT NULL, kind TEXT NOT NULL,
    body TEXT NOT NULL, created_at INTEGER NOT NULL, due_at INTEGER NOT NULL, attempts INTEGER NOT NULL DEFAULT 0,
    state TEXT NOT NULL DEFAULT 'waiting', last_fault TEXT, ended_at INTEGER
  ) STRICT;
  CREATE INDEX outbox_by_state ON outbox (state, due_at);
  `,
];

/** Marks a SQLite file as ours: "Drft" in ASCII. */
export const APPLICATION_ID = 0x44726674;
