//! Who tells what: a reminder is claimed in a transaction, sent, and marked.
//!
//! Of two runs at once one gets the claim. A claim is a lease: a run that died between claim and mark is followed by one
//! that claims again. What is no longer to be told is forgotten, so that it is told anew should it come again.

use std::collections::{BTreeMap, BTreeSet};

use chrono::SecondsFormat;
use rusqlite::{Connection, TransactionBehavior, params};

use crate::shop::Shop;
use crate::store::read::load;
use crate::store::{Error, Loaded, Scope, Store};
use crate::time::{Instant, Span};

/// How long a claim keeps others off. A run sends for at most 4 s, so that within a minute the next one goes on.
const LEASE: Span = Span::seconds(30);

/// Something to be told, by a key that stays the same while it is the same thing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wanted {
    pub thing: String,
    /// Whether it is meant now: to be claimed, to be put off. What is not is only remembered.
    pub meant: bool,
}

/// The right to tell one thing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Claim {
    pub thing: String,
    /// Which claim of it this is: one whose lease ran out may have been followed by another.
    turn: i64,
}

/// What became of a thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    Told,
    /// It was not: the next run may claim it at once.
    Pending,
}

/// How a reminder stands.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Standing {
    state: String,
    turn: i64,
    since: String,
    until: Option<String>,
}

impl Store {
    /// Reads the shop, has `find` say what is to be told, and claims of what it means what nobody has told and nobody else has claimed.
    pub fn claim(
        &mut self,
        now: Instant,
        find: impl FnOnce(&Shop) -> Vec<Wanted>,
    ) -> Result<(Loaded, Vec<Claim>), Error> {
        self.with_reminders(now, find, |connection, now, wanted, standing| {
            let mut claims = Vec::new();
            for Wanted { thing, .. } in wanted.iter().filter(|wanted| wanted.meant) {
                let before = standing.get(thing);
                if before.is_some_and(|standing| !standing.free(now)) {
                    continue;
                }
                let turn = before.map_or(0, |standing| standing.turn).saturating_add(1);
                let until = written(LEASE.after(now));
                put(connection, thing, "claimed", turn, (&written(now), Some(&until)))?;
                claims.push(Claim { thing: thing.clone(), turn });
            }
            Ok(claims)
        })
    }

    /// Marks what became of claims. One whose lease ran out and that another run has taken since is left to that run.
    pub fn mark(&mut self, now: Instant, claims: &[Claim], mark: Mark) -> Result<(), Error> {
        let path = self.path.clone();
        let refuse = |source| super::failed(&path, source);
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(refuse)?;
        for claim in claims {
            let mine = "thing = ?1 AND turn = ?2 AND state = 'claimed'";
            match mark {
                Mark::Told => transaction.execute(
                    &format!(
                        "UPDATE reminder SET state = 'told', since = ?3, until = NULL WHERE {mine}"
                    ),
                    params![claim.thing, claim.turn, written(now)],
                ),
                // The turn is kept, so that a run that comes late can't mark another's claim.
                Mark::Pending => transaction.execute(
                    &format!("UPDATE reminder SET until = since WHERE {mine}"),
                    params![claim.thing, claim.turn],
                ),
            }
            .map_err(refuse)?;
        }
        transaction.commit().map_err(refuse)
    }

    /// Puts off what `find` means until a moment, or for good where there is none; gives the things that were.
    pub fn put_off(
        &mut self,
        now: Instant,
        until: Option<Instant>,
        find: impl FnOnce(&Shop) -> Vec<Wanted>,
    ) -> Result<(Loaded, Vec<String>), Error> {
        self.with_reminders(now, find, |connection, now, wanted, standing| {
            let picked = wanted.iter().filter(|wanted| wanted.meant);
            let picked: Vec<String> = picked.map(|wanted| wanted.thing.clone()).collect();
            for thing in &picked {
                let turn =
                    standing.get(thing).map_or(0, |standing| standing.turn).saturating_add(1);
                let state = if until.is_some() { "later" } else { "cleared" };
                let until = until.map(written);
                put(connection, thing, state, turn, (&written(now), until.as_deref()))?;
            }
            Ok(picked)
        })
    }

    /// Reads the shop and how its reminders stand, forgets those that are no longer to be told, and has `change` do its
    /// part, all in one transaction.
    fn with_reminders<T>(
        &mut self,
        now: Instant,
        find: impl FnOnce(&Shop) -> Vec<Wanted>,
        change: impl FnOnce(
            &Connection,
            Instant,
            &[Wanted],
            &BTreeMap<String, Standing>,
        ) -> rusqlite::Result<T>,
    ) -> Result<(Loaded, T), Error> {
        let path = self.path.clone();
        let refuse = |source| super::failed(&path, source);
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(refuse)?;
        let loaded = load(&transaction, &Scope::Open, &path)?;
        let wanted = find(&loaded.shop);
        let mut standing = all(&transaction).map_err(refuse)?;
        forget(&transaction, now, &wanted, &mut standing).map_err(refuse)?;
        let changed = change(&transaction, now, &wanted, &standing).map_err(refuse)?;
        transaction.commit().map_err(refuse)?;
        Ok((loaded, changed))
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

fn all(connection: &Connection) -> rusqlite::Result<BTreeMap<String, Standing>> {
    let mut rows =
        connection.prepare_cached("SELECT thing, state, turn, since, until FROM reminder")?;
    let standing = rows.query_map([], |row| {
        let standing = Standing {
            state: row.get(1)?,
            turn: row.get(2)?,
            since: row.get(3)?,
            until: row.get(4)?,
        };
        Ok((row.get(0)?, standing))
    })?;
    standing.collect()
}

/// Forgets what is no longer to be told. Not what a run with a later clock has put down: this one may not see it yet.
fn forget(
    connection: &Connection,
    now: Instant,
    wanted: &[Wanted],
    standing: &mut BTreeMap<String, Standing>,
) -> rusqlite::Result<()> {
    let still: BTreeSet<&str> = wanted.iter().map(|wanted| wanted.thing.as_str()).collect();
    let now = written(now);
    let gone = |thing: &String, standing: &Standing| {
        !still.contains(thing.as_str()) && standing.since <= now
    };
    let mut delete = connection.prepare_cached("DELETE FROM reminder WHERE thing = ?1")?;
    for (thing, _) in standing.iter().filter(|(thing, standing)| gone(thing, standing)) {
        delete.execute([thing])?;
    }
    standing.retain(|thing, standing| !gone(thing, standing));
    Ok(())
}

fn put(
    connection: &Connection,
    thing: &str,
    state: &str,
    turn: i64,
    (since, until): (&str, Option<&str>),
) -> rusqlite::Result<()> {
    connection
        .prepare_cached("INSERT OR REPLACE INTO reminder VALUES (?1, ?2, ?3, ?4, ?5)")?
        .execute(params![thing, state, turn, since, until])
        .map(|_| ())
}

/// RFC 3339, UTC, whole seconds: such texts sort as their moments do.
fn written(at: Instant) -> String {
    at.to_rfc3339_opts(SecondsFormat::Secs, true)
}
