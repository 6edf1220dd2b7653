-- What a person was told. No part of the ledger: nothing here is a fact of the shop, and all of it may be forgotten.
CREATE TABLE reminder (
    thing TEXT PRIMARY KEY,                  -- the same while it is the same thing
    state TEXT NOT NULL CHECK (state IN ('claimed', 'told', 'later', 'cleared')),
    turn  INTEGER NOT NULL,                  -- grows with each claim, so that only the last claimant marks it
    since TEXT NOT NULL,                     -- in this state, RFC 3339, UTC
    until TEXT                               -- a claim's lease, or for how long it is put off
) STRICT, WITHOUT ROWID;

-- The calendar's memory: each event as it was last written, so that the next file says what moved and what is cancelled.
CREATE TABLE calendar_event (
    uid   TEXT PRIMARY KEY,
    event TEXT NOT NULL CHECK (json_valid(event))
) STRICT, WITHOUT ROWID;
