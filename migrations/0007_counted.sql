-- A row that is lost or changed is noticed by whoever reads beside it. The entries about a thing are counted through, and how many
-- there are stands in a table of its own. Of some kinds the newest are read, whatever they are about: those count as kind 'any' too.
CREATE TABLE about_counted (
    kind  TEXT NOT NULL,
    name  TEXT NOT NULL,
    entry INTEGER NOT NULL REFERENCES entry (id),
    nth   INTEGER NOT NULL,                  -- 1, 2, 3 … of the entries about this
    PRIMARY KEY (kind, name, entry)
) STRICT, WITHOUT ROWID;

INSERT INTO about_counted
SELECT kind, name, entry, row_number() OVER (PARTITION BY kind, name ORDER BY entry)
FROM (SELECT kind, name, entry FROM about
      UNION SELECT 'any', kind, entry FROM about WHERE kind IN ('plan', 'finish', 'pace'));

DROP TABLE about;
ALTER TABLE about_counted RENAME TO about;

CREATE INDEX about_by_entry ON about (entry, kind, name);

CREATE TABLE counted (
    kind    TEXT NOT NULL,
    name    TEXT NOT NULL,
    entries INTEGER NOT NULL,
    PRIMARY KEY (kind, name)
) STRICT, WITHOUT ROWID;

INSERT INTO counted SELECT kind, name, count(*) FROM about GROUP BY kind, name;

-- One row: the last entry with its hash, and how many things are open.
CREATE TABLE tip (
    entry INTEGER NOT NULL,
    hash  TEXT NOT NULL,
    open  INTEGER NOT NULL
) STRICT;

INSERT INTO tip SELECT coalesce(max(id), 0), coalesce((SELECT hash FROM entry ORDER BY id DESC LIMIT 1), ''),
                       (SELECT count(*) FROM open_now) FROM entry;

-- A sum over the readings of each room and day (UTC). An entry's digest is over all that it brought, too much to read each time.
CREATE TABLE reading_day (
    room TEXT NOT NULL,
    day  INTEGER NOT NULL,                   -- days since 1970-01-01
    sum  INTEGER NOT NULL,
    PRIMARY KEY (room, day)
) STRICT, WITHOUT ROWID;

-- REPLACE goes past the other two.
CREATE TRIGGER entry_is_never_replaced BEFORE INSERT ON entry WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: an entry is never replaced, undo records a further one'); END;

-- What happened after a moment, for whoever asks how the shop looked then.
CREATE INDEX entry_by_at ON entry (at);
