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
 * - `thinned`: thinned readings of one station and day, key as of a chunk (retention). `thinning`: up to when its raw readings
 *   are gone, and how many they were.
 * - `set_aside`: what was found damaged, as it was: batches, chunks, chunks of spray runs, thinned days; `damaged_span`: whose readings or
 *   runs it held, both ends included, and who settled it.
 * - `clock_span`: readings of a station in [from_ms, to_ms] had another time: theirs plus offset_ms.
 * - `historian`: one row while a historian is on; `historian_span`: readings that it has not got and that are in chunks;
 *   `historian_note`: runs and findings that it has not got.
 * - `station.chunked_to`: batches up to this `seq` are in the station's chunks; those after it are its tail.
 *
 * Of the records of people: `figures` holds versions of what the shop states of itself (costs, an item on the shelf), by
 * subject; `log_correction` takes an entry back and names the one in its place; `outbox` holds what is still to be told.
 *
 * Of accounts: secrets that we generate (`session`, `token`, `station_account`, `sign_in_link`) are kept as their SHA-256,
 * passwords as scrypt. What is revoked stays, so that the audit trail's names go on meaning somebody.
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
  `
  CREATE TABLE thinned (key INTEGER PRIMARY KEY, last_ms INTEGER NOT NULL, body BLOB NOT NULL) STRICT;
  CREATE TABLE thinning (
    station INTEGER PRIMARY KEY, raw_from INTEGER NOT NULL, frames INTEGER NOT NULL, readings INTEGER NOT NULL
  ) STRICT;
  CREATE TABLE disk_use (at INTEGER PRIMARY KEY, store_bytes INTEGER NOT NULL, free_bytes INTEGER NOT NULL) STRICT;

  CREATE TABLE clock_span (
    id INTEGER PRIMARY KEY AUTOINCREMENT, station TEXT NOT NULL, offset_ms INTEGER NOT NULL,
    from_ms INTEGER NOT NULL, to_ms INTEGER NOT NULL, readings INTEGER NOT NULL,
    first_received INTEGER NOT NULL, last_received INTEGER NOT NULL, open INTEGER NOT NULL
  ) STRICT;
  CREATE INDEX clock_span_by_station ON clock_span (station, from_ms);

  CREATE TABLE historian (id INTEGER PRIMARY KEY CHECK (id = 1), target TEXT NOT NULL, sent_seq INTEGER NOT NULL) STRICT;
  CREATE TABLE historian_span (
    id INTEGER PRIMARY KEY AUTOINCREMENT, station TEXT NOT NULL, from_ms INTEGER NOT NULL, to_ms INTEGER NOT NULL
  ) STRICT;
  CREATE TABLE historian_note (
    id INTEGER PRIMARY KEY AUTOINCREMENT, kind TEXT NOT NULL, subject TEXT NOT NULL, UNIQUE (kind, subject)
  ) STRICT;
  CREATE TRIGGER historian_run AFTER INSERT ON run_chunk WHEN EXISTS (SELECT 1 FROM historian) BEGIN
    DELETE FROM historian_note WHERE kind = 'run' AND subject = CAST(new.key AS TEXT);
    INSERT INTO historian_note (kind, subject) VALUES ('run', CAST(new.key AS TEXT));
  END;
  CREATE TRIGGER historian_finding_new AFTER INSERT ON finding WHEN EXISTS (SELECT 1 FROM historian) BEGIN
    DELETE FROM historian_note WHERE kind = 'finding' AND subject = new.raised || ' ' || new.cause || ' ' || new.gun;
    INSERT INTO historian_note (kind, subject) VALUES ('finding', new.raised || ' ' || new.cause || ' ' || new.gun);
  END;
  CREATE TRIGGER historian_finding_changed AFTER UPDATE ON finding WHEN EXISTS (SELECT 1 FROM historian) BEGIN
    DELETE FROM historian_note WHERE kind = 'finding' AND subject = new.raised || ' ' || new.cause || ' ' || new.gun;
    INSERT INTO historian_note (kind, subject) VALUES ('finding', new.raised || ' ' || new.cause || ' ' || new.gun);
  END;
  `,
  `
  CREATE TABLE judgement (
    id INTEGER PRIMARY KEY AUTOINCREMENT, gun TEXT NOT NULL, cause TEXT NOT NULL, raised INTEGER NOT NULL,
    judged TEXT, reason TEXT NOT NULL, at INTEGER NOT NULL, who TEXT NOT NULL
  ) STRICT;
  CREATE INDEX judgement_by_finding ON judgement (gun, cause, raised, id);
  CREATE TABLE excluded_span (
    id INTEGER PRIMARY KEY AUTOINCREMENT, gun TEXT NOT NULL, from_ms INTEGER NOT NULL, to_ms INTEGER NOT NULL,
    reason TEXT NOT NULL, at INTEGER NOT NULL, who TEXT NOT NULL, undone_at INTEGER, undone_by TEXT
  ) STRICT;
  `,
  `
  CREATE TABLE person (
    id INTEGER PRIMARY KEY AUTOINCREMENT, name TEXT NOT NULL UNIQUE COLLATE NOCASE, role TEXT NOT NULL,
    password TEXT, created_at INTEGER NOT NULL, revoked_at INTEGER
  ) STRICT;
  CREATE TABLE sign_in_link (
    hash BLOB PRIMARY KEY, person INTEGER NOT NULL, expires_at INTEGER NOT NULL
  ) STRICT, WITHOUT ROWID;
  CREATE TABLE session (
    id INTEGER PRIMARY KEY AUTOINCREMENT, hash BLOB NOT NULL UNIQUE, person INTEGER NOT NULL,
    created_at INTEGER NOT NULL, expires_at INTEGER NOT NULL, seen_at INTEGER NOT NULL,
    address TEXT NOT NULL, agent TEXT NOT NULL, ended_at INTEGER
  ) STRICT;
  CREATE INDEX session_by_person ON session (person, ended_at);
  CREATE TABLE token (
    id INTEGER PRIMARY KEY AUTOINCREMENT, hash BLOB NOT NULL UNIQUE, kind TEXT NOT NULL, name TEXT NOT NULL,
    role TEXT NOT NULL, created_at INTEGER NOT NULL, revoked_at INTEGER
  ) STRICT;
  CREATE TABLE station_account (
    id INTEGER PRIMARY KEY AUTOINCREMENT, name TEXT NOT NULL UNIQUE, kind TEXT NOT NULL, hash BLOB NOT NULL,
    created_at INTEGER NOT NULL, rotated_at INTEGER, revoked_at INTEGER
  ) STRICT;
  CREATE TABLE audit (
    id INTEGER PRIMARY KEY AUTOINCREMENT, at INTEGER NOT NULL, who TEXT NOT NULL, what TEXT NOT NULL,
    detail TEXT NOT NULL, origin TEXT NOT NULL
  ) STRICT;
  CREATE TRIGGER audit_is_never_changed BEFORE UPDATE ON audit BEGIN
    SELECT RAISE(ABORT, 'the audit trail is only added to');
  END;
  CREATE TRIGGER audit_is_never_shortened BEFORE DELETE ON audit BEGIN
    SELECT RAISE(ABORT, 'the audit trail is only added to');
  END;
  `,
  `
  ALTER TABLE settings ADD COLUMN expected TEXT NOT NULL DEFAULT '';
  `,
  `
  ALTER TABLE log_entry ADD COLUMN measured REAL;
  ALTER TABLE log_entry ADD COLUMN measured_unit TEXT;
  `,
  `
  CREATE TABLE trace (
    gun TEXT NOT NULL, time INTEGER NOT NULL, needed REAL, actual REAL, excess REAL, low REAL, high REAL,
    change_limit REAL NOT NULL, wear_left REAL, PRIMARY KEY (gun, time)
  ) STRICT, WITHOUT ROWID;
  `,
  `
  CREATE TABLE relearning (
    id INTEGER PRIMARY KEY AUTOINCREMENT, gun TEXT NOT NULL, from_ms INTEGER NOT NULL, decided INTEGER NOT NULL,
    undone INTEGER, reason TEXT NOT NULL, at INTEGER NOT NULL, who TEXT NOT NULL, undone_at INTEGER, undone_by TEXT
  ) STRICT;
  CREATE TABLE dismissed_change (
    id INTEGER PRIMARY KEY AUTOINCREMENT, gun TEXT NOT NULL, part TEXT NOT NULL, time INTEGER NOT NULL,
    reason TEXT NOT NULL, at INTEGER NOT NULL, who TEXT NOT NULL, undone_at INTEGER, undone_by TEXT
  ) STRICT;
  `,
  `
  CREATE TABLE waiting_pack (id INTEGER PRIMARY KEY, body BLOB NOT NULL) STRICT;
  `,
  // Batches, chunks and thinned days have checksums from here on, within what they hold: those who know none must not open them.
  '',
  // And batches say behind their packs whose readings they hold.
  `
  CREATE TABLE set_aside (id INTEGER PRIMARY KEY AUTOINCREMENT, what TEXT NOT NULL, body BLOB NOT NULL) STRICT;
  CREATE TABLE damaged_span (
    id INTEGER PRIMARY KEY AUTOINCREMENT, what TEXT NOT NULL, station TEXT NOT NULL, from_ms INTEGER NOT NULL,
    to_ms INTEGER NOT NULL, fault TEXT NOT NULL, certain INTEGER NOT NULL, UNIQUE (what, station)
  ) STRICT;
  `,
  // What a restart needs to go on judging the clock that they wait for; null in those of before.
  `
  ALTER TABLE waiting_pack ADD COLUMN received_at INTEGER;
  ALTER TABLE waiting_pack ADD COLUMN offset_ms INTEGER;
  ALTER TABLE waiting_pack ADD COLUMN is_second INTEGER;
  `,
  // Spray runs and thinned readings can be damaged as well, and what is there again or given up can be settled.
  `
  ALTER TABLE damaged_span ADD COLUMN kind TEXT NOT NULL DEFAULT 'readings';
  ALTER TABLE damaged_span ADD COLUMN settled_at INTEGER;
  ALTER TABLE damaged_span ADD COLUMN settled_by TEXT;
  ALTER TABLE damaged_span ADD COLUMN settled_why TEXT;
  `,
];

/** Marks a SQLite file as ours: "Drft" in ASCII. */
export const APPLICATION_ID = 0x44726674;
