-- A minimum and maximum thermometer: what it shows speaks for the time since the reading before, and may be all that was read.
CREATE TABLE reading_with_extremes (
    room     TEXT NOT NULL,
    at       INTEGER NOT NULL,               -- seconds since 1970-01-01 UTC
    temp     REAL,                           -- °C; none where the extremes alone were read
    humidity REAL,                           -- % relative, over water
    surface  REAL,                           -- °C of the pieces, where it was measured
    lowest   REAL,                           -- °C, the coldest since the reading before
    highest  REAL,                           -- °C, the warmest since then
    entry    INTEGER NOT NULL REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
    PRIMARY KEY (room, at),
    CHECK (temp IS NOT NULL OR (lowest IS NOT NULL AND highest IS NOT NULL))
) STRICT, WITHOUT ROWID;

INSERT INTO reading_with_extremes
SELECT room, at, temp, humidity, surface, NULL, NULL, entry FROM reading;

DROP TABLE reading;
ALTER TABLE reading_with_extremes RENAME TO reading;

-- The same of those whose entry is taken back.
CREATE TABLE reading_gone_with_extremes (
    room     TEXT NOT NULL,
    at       INTEGER NOT NULL,
    temp     REAL,
    humidity REAL,
    surface  REAL,
    lowest   REAL,
    highest  REAL,
    entry    INTEGER NOT NULL REFERENCES entry (id),
    PRIMARY KEY (entry, at)
) STRICT, WITHOUT ROWID;

INSERT INTO reading_gone_with_extremes
SELECT room, at, temp, humidity, surface, NULL, NULL, entry FROM reading_gone;

DROP TABLE reading_gone;
ALTER TABLE reading_gone_with_extremes RENAME TO reading_gone;
