//! Who tells what: a reminder is claimed in a transaction, sent, and marked, by each channel for itself.
//!
//! Of two runs at once one gets the claim. A claim is a lease: a run that died between claim and mark is followed by one
//! that claims again. What is no longer to be told is forgotten, so that it is told again should it come again.

use std::collections::{BTreeMap, BTreeSet};

use chrono::SecondsFormat;
use rusqlite::{Connection, Transaction, TransactionBehavior, params};

use crate::shop::Shop;
use crate::store::index::Reader;
use crate::store::{Error, Loaded, Scope, Store, query};
use crate::time::{Instant, Span};

/// How long a claim keeps others off. A run sends for at most 4 s, so that within a minute the next one goes on.
const LEASE: Span = Span::seconds(30);

/// So far the clocks of two runs may differ. What lies further ahead was put down by a clock that was wrong.
pub const CLOCKS_DIFFER: Span = Span::hours(1);

/// The memo of when reminders were last looked for.
pub const SENT: &str = "sent";

/// The channel of what a person put off: it holds for every channel.
const EVERYONE: &str = "";

/// Something to be told, by a key that stays the same while it is the same thing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wanted {
    pub thing: String,
    /// The same at every stage of it: what a person puts off.
    pub about: String,
    /// The channels it is to be told on now; on none it is only remembered.
    pub channels: Vec<String>,
}

/// The right to tell one thing on one channel.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Claim {
    pub(crate) thing: String,
    pub(crate) channel: String,
    /// Which claim of it this is: one whose lease ran out may have been followed by another.
    turn: i64,
}

/// What became of a thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    Told,
    /// It was not: the next run may claim it at once.
    Pending,
    /// Nobody knows: it stays claimed as long as the lease runs.
    Claimed,
}

/// What was told so far.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Memory {
    /// Things that were claimed or told, on whatever channel.
    pub(crate) things: BTreeSet<String>,
    /// What a person put off, and it still is.
    pub(crate) put_off: BTreeSet<String>,
    /// Notices that may still stand on the desktop, by their tags. What is in one, only its writer knows.
    pub(crate) notices: BTreeMap<String, String>,
    /// What runs keep for each other.
    pub(crate) memos: BTreeMap<String, String>,
}

/// How a reminder stands.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Standing {
    state: String,
    turn: i64,
    since: String,
    until: Option<String>,
}

/// All of them, by thing and channel.
type Rows = BTreeMap<(String, String), Standing>;

impl Store {
    /// What was told so far, as it stands at `now`.
    pub(crate) fn told(&self, now: Instant) -> Result<Memory, Error> {
        let rows = all(&self.connection).map_err(|source| self.failed(source))?;
        memory(&self.connection, &rows, now).map_err(|source| self.failed(source))
    }

    /// Reads the shop and what was told, has `find` say what is to be told, and claims of it what nobody has told and nobody else has claimed.
    pub fn claim(
        &mut self,
        now: Instant,
        find: impl FnOnce(&Shop, &Memory) -> Vec<Wanted>,
    ) -> Result<(Loaded, Memory, Vec<Claim>), Error> {
        self.with_reminders(now, find, |connection, wanted, rows| {
            connection
                .execute("INSERT OR REPLACE INTO memo VALUES (?1, ?2)", [SENT, &written(now)])?;
            let mut claims = Vec::new();
            for Wanted { thing, about, channels } in wanted {
                let put_off = rows.get(&(about.clone(), EVERYONE.to_owned()));
                if put_off.is_some_and(|row| !row.free(now)) {
                    continue;
                }
                for channel in channels {
                    let before = rows.get(&(thing.clone(), channel.clone()));
                    if before.is_some_and(|row| !row.free(now)) {
                        continue;
                    }
                    let turn = before.map_or(0, |row| row.turn).saturating_add(1);
                    let until = written(LEASE.after(now));
                    put(connection, (thing, channel), "claimed", turn, (now, Some(&until)))?;
                    claims.push(Claim { thing: thing.clone(), channel: channel.clone(), turn });
                }
            }
            Ok(claims)
        })
    }

    /// Marks what became of claims, and keeps of each notice named how it stands now, or that it stands no longer. A claim
    /// whose lease ran out and that another run has taken since is left to that run.
    pub fn mark(
        &mut self,
        now: Instant,
        claims: &[Claim],
        mark: Mark,
        notices: &BTreeMap<String, Option<String>>,
    ) -> Result<(), Error> {
        self.write(|transaction| {
            for claim in claims {
                let mine = "thing = ?1 AND channel = ?2 AND turn = ?3 AND state = 'claimed'";
                match mark {
                    Mark::Claimed => 0,
                    Mark::Told => transaction.execute(
                        &format!("UPDATE reminder SET state = 'told', since = ?4, until = NULL WHERE {mine}"),
                        params![claim.thing, claim.channel, claim.turn, written(now)],
                    )?,
                    // The turn is kept, so that a run that comes late can't mark another's claim.
                    Mark::Pending => transaction.execute(
                        &format!("UPDATE reminder SET until = since WHERE {mine}"),
                        params![claim.thing, claim.channel, claim.turn],
                    )?,
                };
            }
            for (tag, stands) in notices {
                match stands {
                    Some(stands) => transaction
                        .execute("INSERT OR REPLACE INTO notice VALUES (?1, ?2)", [tag, stands])?,
                    None => transaction.execute("DELETE FROM notice WHERE tag = ?1", [tag])?,
                };
            }
            Ok(())
        })
    }

    /// Keeps a memo for the next runs, in the place of the one before it.
    pub(crate) fn keep_memo(&mut self, what: &str, said: &str) -> Result<(), Error> {
        self.write(|transaction| {
            transaction
                .execute("INSERT OR REPLACE INTO memo VALUES (?1, ?2)", [what, said])
                .map(|_| ())
        })
    }

    /// Drops a memo; one that isn't there is no fault.
    pub(crate) fn drop_memo(&mut self, what: &str) -> Result<(), Error> {
        self.write(|transaction| {
            transaction.execute("DELETE FROM memo WHERE what = ?1", [what]).map(|_| ())
        })
    }

    /// Puts off what `find` means, on every channel, until a moment, or for good where there is none.
    pub(crate) fn put_off(
        &mut self,
        now: Instant,
        until: Option<Instant>,
        find: impl FnOnce(&Shop) -> Vec<Wanted>,
        meant: impl Fn(&Wanted) -> bool,
    ) -> Result<Loaded, Error> {
        let (loaded, _, ()) = self.with_reminders(
            now,
            |shop, _| find(shop),
            |connection, wanted, _| {
                let state = if until.is_some() { "later" } else { "cleared" };
                let until = until.map(written);
                for Wanted { thing, about, .. } in wanted.iter().filter(|wanted| meant(wanted)) {
                    // Told or not, it is told when the time comes.
                    connection.execute("DELETE FROM reminder WHERE thing = ?1", [thing])?;
                    put(connection, (about, EVERYONE), state, 0, (now, until.as_deref()))?;
                }
                Ok(())
            },
        )?;
        Ok(loaded)
    }

    /// Reads the shop and how its reminders stand, forgets those that are no longer to be told, and has `change` do its
    /// part, all in one transaction.
    fn with_reminders<T>(
        &mut self,
        now: Instant,
        find: impl FnOnce(&Shop, &Memory) -> Vec<Wanted>,
        change: impl FnOnce(&Connection, &[Wanted], &Rows) -> rusqlite::Result<T>,
    ) -> Result<(Loaded, Memory, T), Error> {
        let path = self.path.clone();
        let refuse = |source| super::failed(&path, source);
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(refuse)?;
        let loaded = Reader { connection: &transaction, path: &path }.load(&Scope::Open, None)?;
        let mut rows = all(&transaction).map_err(refuse)?;
        let told = memory(&transaction, &rows, now).map_err(refuse)?;
        let wanted = find(&loaded.shop, &told);
        forget(&transaction, now, &wanted, &mut rows).map_err(refuse)?;
        let changed = change(&transaction, &wanted, &rows).map_err(refuse)?;
        transaction.commit().map_err(refuse)?;
        Ok((loaded, told, changed))
    }

    fn write(
        &mut self,
        change: impl FnOnce(&Transaction<'_>) -> rusqlite::Result<()>,
    ) -> Result<(), Error> {
        let path = self.path.clone();
        let written = || {
            let transaction =
                self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
            change(&transaction)?;
            transaction.commit()
        };
        written().map_err(|source| super::failed(&path, source))
    }
}

impl Standing {
    /// Whether it may be claimed: a claim's lease, or the time it was put off for, is over.
    fn free(&self, now: Instant) -> bool {
        match self.state.as_str() {
            "claimed" | "later" => self.until.as_ref().is_none_or(|until| *until <= written(now)),
            _ => false,
        }
    }
}

fn all(connection: &Connection) -> rusqlite::Result<Rows> {
    let mut rows = connection
        .prepare_cached("SELECT thing, channel, state, turn, since, until FROM reminder")?;
    let standing = rows.query_map([], |row| {
        let standing = Standing {
            state: row.get(2)?,
            turn: row.get(3)?,
            since: row.get(4)?,
            until: row.get(5)?,
        };
        Ok(((row.get(0)?, row.get(1)?), standing))
    })?;
    standing.collect()
}

fn memory(connection: &Connection, rows: &Rows, now: Instant) -> rusqlite::Result<Memory> {
    let mut memory = Memory {
        notices: query::all(connection, "SELECT tag, stands FROM notice", [])?,
        memos: query::all(connection, "SELECT what, said FROM memo", [])?,
        ..Memory::default()
    };
    for ((thing, channel), standing) in rows {
        if channel != EVERYONE {
            memory.things.insert(thing.clone());
        } else if !standing.free(now) {
            memory.put_off.insert(thing.clone());
        }
    }
    Ok(memory)
}

/// Forgets what is no longer to be told. Not what a run with a later clock has put down: this one may not see it yet.
fn forget(
    connection: &Connection,
    now: Instant,
    wanted: &[Wanted],
    rows: &mut Rows,
) -> rusqlite::Result<()> {
    let still: BTreeSet<&str> =
        wanted.iter().flat_map(|wanted| [wanted.thing.as_str(), wanted.about.as_str()]).collect();
    let (now, wrong) = (written(now), written(CLOCKS_DIFFER.after(now)));
    let mut delete =
        connection.prepare_cached("DELETE FROM reminder WHERE thing = ?1 AND channel = ?2")?;
    let gone = |(thing, _): &(String, String), row: &Standing| {
        !still.contains(thing.as_str()) && row.since <= now || row.since > wrong
    };
    for ((thing, channel), _) in rows.iter().filter(|(key, row)| gone(key, row)) {
        delete.execute([thing, channel])?;
    }
    rows.retain(|key, row| !gone(key, row));
    Ok(())
}

fn put(
    connection: &Connection,
    (thing, channel): (&str, &str),
    state: &str,
    turn: i64,
    (since, until): (Instant, Option<&str>),
) -> rusqlite::Result<()> {
    connection
        .prepare_cached("INSERT OR REPLACE INTO reminder VALUES (?1, ?2, ?3, ?4, ?5, ?6)")?
        .execute(params![thing, channel, state, turn, written(since), until])
        .map(|_| ())
}

/// RFC 3339, UTC, whole seconds: such texts sort as their moments do.
fn written(at: Instant) -> String {
    at.to_rfc3339_opts(SecondsFormat::Secs, true)
}
