-- Which command line an entry comes from, by the first entry it recorded; an entry of an earlier layout stands for itself. And in
-- which form its fact is stored. Both are under the hash from here on; what was hashed before stays as it is.
ALTER TABLE entry ADD COLUMN act INTEGER REFERENCES entry (id);
ALTER TABLE entry ADD COLUMN form INTEGER NOT NULL DEFAULT 1;

CREATE INDEX entry_by_act ON entry (act) WHERE act NOT NULL;

-- Kept plans, by the digest that the ledger holds of each.
CREATE TABLE plan (
    digest TEXT PRIMARY KEY,                 -- SHA-256 of the text
    plan   TEXT NOT NULL CHECK (json_valid(plan))
) STRICT;

-- Readings whose entry is taken back: they return when the taking back is itself taken back.
CREATE TABLE reading_gone (
    room     TEXT NOT NULL,
    at       INTEGER NOT NULL,
    temp     REAL NOT NULL,
    humidity REAL,
    surface  REAL,
    entry    INTEGER NOT NULL REFERENCES entry (id),
    PRIMARY KEY (entry, at)
) STRICT, WITHOUT ROWID;
