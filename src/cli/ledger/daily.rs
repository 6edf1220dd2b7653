//! What the timer does once a day besides reminding: the backup that the setup asks for, and the proof that the history is whole.

use serde_json::{Value, json};

use super::backup::{folder_of, into};
use crate::cli::{Context, Error};
use crate::report::ledger::Kept;
use crate::store::{CLOCKS_DIFFER, Scope, Store};
use crate::time::words::rfc3339;
use crate::time::{Instant, Span, Viewpoint, Zone};

/// The memo of the last backup.
pub(super) const BACKUP: &str = "backup";

/// The memo of the last check.
const CHECK: &str = "check";

/// The memo of why the last backup of the timer's came to nothing.
const NO_BACKUP: &str = "no backup";

const DAY: Span = Span::hours(24);

/// How many backups the timer keeps.
const KEPT: u16 = 30;

/// The check and the backup, where the last were a day ago.
pub(crate) fn daily(context: &mut Context<'_>) -> Result<(), Error> {
    let mut store = context.store()?;
    let now = context.now;
    let memos = store.told(now)?.memos;
    let due = |what: &str| {
        let last = memos.get(what).and_then(|said| moment(said));
        last.is_none_or(|last| DAY.after(last) <= now || CLOCKS_DIFFER.after(now) < last)
    };
    if !store.kept_nowhere() && due(CHECK) {
        let checked = store.check(None)?;
        let said = json!({
            "at": stamp(now),
            "entries": checked.entries,
            "faults": checked.faults.len(),
        });
        store.keep_memo(CHECK, &said.to_string())?;
        if !checked.faults.is_empty() {
            context.notes.push(format!(
                "the history isn't whole ({} found): tackfree ledger check",
                crate::shop::count::Count(checked.faults.len() as u64, "fault")
            ));
        }
    }
    let shop = store.load(&Scope::Setup)?.shop;
    let home = context.environment.home.as_deref();
    if let Some(folder) = folder_of(shop.setup.as_ref(), home).filter(|_| due(BACKUP)) {
        match into(&store, &folder, Some(KEPT), now, shop.zone()) {
            Ok(_) => {
                store.keep_memo(BACKUP, &stamp(now))?;
                store.drop_memo(NO_BACKUP)?;
            }
            Err(error) => {
                let why = error.message(context.view);
                // A drive that isn't plugged in is told once, and not each minute.
                if memos.get(NO_BACKUP) != Some(&why) {
                    store.keep_memo(NO_BACKUP, &why)?;
                    context.notes.push(format!("no backup was made: {why}"));
                }
            }
        }
    }
    Ok(())
}

/// How the history is kept, for the day sheet; nothing where neither a check nor a backup ever was.
pub(crate) fn kept(
    store: &mut Store,
    view: Viewpoint,
    wanted: bool,
) -> Result<Option<Kept>, Error> {
    let memos = store.told(view.now)?.memos;
    let check: Option<Value> = memos.get(CHECK).and_then(|said| serde_json::from_str(said).ok());
    let checked = check.as_ref().and_then(|check| moment(check["at"].as_str()?));
    let backup = memos.get(BACKUP).and_then(|said| moment(said));
    if checked.is_none() && backup.is_none() && !wanted {
        return Ok(None);
    }
    Ok(Some(Kept {
        checked: checked.map(|at| view.stamp(at)),
        faults: check.and_then(|check| check["faults"].as_u64()).unwrap_or_default(),
        backup: backup.map(|at| view.stamp(at)),
        days_since_backup: backup.map(|at| (view.now - at).num_days().max(0)),
        no_backup: memos.get(NO_BACKUP).cloned().filter(|_| wanted),
        wanted,
    }))
}

pub(super) fn stamp(now: Instant) -> String {
    rfc3339(now, Zone::UTC)
}

fn moment(said: &str) -> Option<Instant> {
    let at =
        serde_json::from_str::<Value>(said).ok().and_then(|v| v["at"].as_str().map(str::to_owned));
    crate::time::typed::read_rfc3339(at.as_deref().unwrap_or(said)).ok()
}
