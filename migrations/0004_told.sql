-- Each channel is told by itself: the desktop, and each command of the setup. Nothing of it is a fact of the shop, so what was told
-- so far is forgotten rather than carried over.
DROP TABLE reminder;
CREATE TABLE reminder (
    thing   TEXT NOT NULL,                   -- the same while it is the same thing at the same stage
    channel TEXT NOT NULL,                   -- who is told; empty for what a person put off, whoever tells it
    state   TEXT NOT NULL CHECK (state IN ('claimed', 'told', 'later', 'cleared')),
    turn    INTEGER NOT NULL,                -- grows with each claim, so that only the last claimant marks it
    since   TEXT NOT NULL,                   -- in this state, RFC 3339, UTC
    until   TEXT,                            -- a claim's lease, or for how long it is put off
    PRIMARY KEY (thing, channel)
) STRICT, WITHOUT ROWID;

-- Notices that may still stand on the desktop, so that the next stage replaces them and what is settled closes them.
CREATE TABLE notice (
    tag    TEXT PRIMARY KEY,
    stands TEXT NOT NULL CHECK (json_valid(stands))
) STRICT, WITHOUT ROWID;

-- What is kept from one run to the next: when reminders were last sent, since when the operating system is to send them, until when
-- somebody hears a notice's buttons, the dates last forecast.
CREATE TABLE memo (
    what TEXT PRIMARY KEY,
    said TEXT NOT NULL
) STRICT, WITHOUT ROWID;
