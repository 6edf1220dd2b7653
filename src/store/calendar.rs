//! The calendar's memory: each event as it was last written. What an event is, only its writer knows.

use std::collections::BTreeMap;

use rusqlite::{TransactionBehavior, params};

use crate::shop::Shop;
use crate::store::chain::START;
use crate::store::index::Reader;
use crate::store::{Error, Loaded, Scope, Store};

impl Store {
    /// Reads the shop and the events as they were last written (JSON by UID), has `revise` say how they are now, and
    /// keeps what it says, all in one transaction. `revise` is also given a text that is this ledger's own.
    pub(crate) fn revise_calendar<T>(
        &mut self,
        revise: impl FnOnce(&Shop, &str, &BTreeMap<String, String>) -> (T, BTreeMap<String, String>),
    ) -> Result<(Loaded, T), Error> {
        let path = self.path.clone();
        let refuse = |source| super::failed(&path, source);
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(refuse)?;
        let reader = Reader { connection: &transaction, path: &path };
        let loaded = reader.load(&Scope::Open, None)?;
        let first = reader.hash(1)?;
        let before: BTreeMap<String, String> =
            reader.all("SELECT uid, event FROM calendar_event", [])?;
        let (outcome, after) = revise(&loaded.shop, first.as_deref().unwrap_or(START), &before);
        for uid in before.keys().filter(|uid| !after.contains_key(*uid)) {
            transaction
                .execute("DELETE FROM calendar_event WHERE uid = ?1", [uid])
                .map_err(refuse)?;
        }
        for (uid, event) in after.iter().filter(|(uid, event)| before.get(*uid) != Some(event)) {
            transaction
                .execute(
                    "INSERT OR REPLACE INTO calendar_event VALUES (?1, ?2)",
                    params![uid, event],
                )
                .map_err(refuse)?;
        }
        transaction.commit().map_err(refuse)?;
        Ok((loaded, outcome))
    }
}
