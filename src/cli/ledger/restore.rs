//! `ledger restore`: a database out of a backup, beside what is there and never over it.

use std::path::{Path, PathBuf};

use crate::cli::{Context, Error};
use crate::report::ledger::{EntryLine, LeftBehind, RestoreReport};
use crate::store::{Scope, Store};

/// How many of the entries that a backup lacks are listed.
const LISTED: usize = 10;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The backup
    backup: PathBuf,
    /// The file to make; left out: the shop's own place where nothing is, else one beside it
    #[arg(long, value_name = "FILE")]
    to: Option<PathBuf>,
}

pub(super) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let place = context.database().to_owned();
    let taken = place.symlink_metadata().is_ok();
    let beside = || {
        let stem = place.file_stem().unwrap_or_default().to_string_lossy();
        let moment = context.now.format("%Y-%m-%d-%H%M%S");
        place.with_file_name(format!("{stem}-restored-{moment}.tackfree"))
    };
    let to = match &args.to {
        Some(to) => to.clone(),
        None if taken => beside(),
        None => {
            context.make_folder()?;
            place.clone()
        }
    };
    let checked = Store::restore(&args.backup, &to)?;
    let left = if taken && to != place { left_behind(&place, &to, context)? } else { None };
    let report = RestoreReport {
        restored: to.display().to_string(),
        entries: checked.entries,
        last_hash: checked.last_hash,
        in_place: to == place,
        left,
    };
    context.screen.show(&report)
}

/// What the shop's own file has that the backup lacks.
fn left_behind(
    place: &Path,
    restored: &Path,
    context: &Context<'_>,
) -> Result<Option<LeftBehind>, Error> {
    let database = place.display().to_string();
    let read = || -> Result<LeftBehind, crate::store::Error> {
        let mut own = Store::open(place)?;
        let common = own.last_common(&Store::open(restored)?)?;
        let loaded = own.load(&Scope::WithEntry(common + 1))?;
        let view = loaded.shop.viewpoint(context.now);
        let newer: Vec<_> = loaded.entries.iter().filter(|entry| entry.id > common).collect();
        let listed = newer.iter().rev().take(LISTED).rev().copied();
        Ok(LeftBehind {
            newer: newer.len(),
            unreadable: None,
            listed: EntryLine::all(listed, &loaded.entries, &loaded.shop, view),
            database: database.clone(),
        })
    };
    match read() {
        Ok(left) => Ok(Some(left)),
        Err(error @ crate::store::Error::Busy { .. }) => Err(error.into()),
        Err(error) => Ok(Some(LeftBehind {
            newer: 0,
            unreadable: Some(error.to_string()),
            listed: Vec::new(),
            database,
        })),
    }
}
