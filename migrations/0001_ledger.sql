-- The ledger: every fact, in order. What a lot is now is a fold over these rows; nothing else is the truth.
CREATE TABLE entry (
    id       INTEGER PRIMARY KEY,            -- 1, 2, 3 … without a gap
    at       TEXT NOT NULL,                  -- when it happened, RFC 3339, UTC
    recorded TEXT NOT NULL,                  -- when it was written down, RFC 3339, UTC
    fact     TEXT NOT NULL CHECK (json_valid(fact)),
    anyway   TEXT CHECK (anyway IS NULL OR json_valid(anyway)),
    hash     TEXT NOT NULL                   -- SHA-256 over the hash before it and this row
) STRICT;

CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: an entry is never changed, undo records a further one'); END;

CREATE TRIGGER entry_is_never_deleted BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: an entry is never deleted, undo records a further one'); END;

-- An index: which entries are about a batch, a lot, a can, a rack, rags, a shipment. `ledger check` makes it anew and compares.
CREATE TABLE about (
    kind  TEXT NOT NULL,
    name  TEXT NOT NULL,
    entry INTEGER NOT NULL REFERENCES entry (id),
    PRIMARY KEY (kind, name, entry)
) STRICT, WITHOUT ROWID;

CREATE INDEX about_by_entry ON about (entry, kind, name);

-- The newest entries of a kind (touch tests, times, kept plans), without going through all of them.
CREATE INDEX about_by_kind ON about (kind, entry);

-- An index: what is open now, so that a command reads no more than that.
CREATE TABLE open_now (
    kind TEXT NOT NULL,
    name TEXT NOT NULL,
    PRIMARY KEY (kind, name)
) STRICT, WITHOUT ROWID;
