-- What a room's log says. A reading is proved by the entry that brought it: its digest is over all of that entry's rows.
CREATE TABLE reading (
    room     TEXT NOT NULL,
    at       INTEGER NOT NULL,               -- seconds since 1970-01-01 UTC
    temp     REAL NOT NULL,                  -- °C
    humidity REAL,                           -- % relative, over water
    surface  REAL,                           -- °C of the pieces, where it was measured
    entry    INTEGER NOT NULL REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
    PRIMARY KEY (room, at)
) STRICT, WITHOUT ROWID;
