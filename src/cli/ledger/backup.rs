//! `ledger backup`: a copy of this moment, proved whole.

use std::path::{Path, PathBuf};

use crate::cli::{Context, Error};
use crate::report::ledger::BackupReport;
use crate::shop::setup::Setup;
use crate::store::{NotCopied, Scope, Store};
use crate::time::{Instant, Zone};

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// A folder, or a file that isn't there yet; left out: the folder that the setup names
    to: Option<PathBuf>,
    /// Keep so many of this shop's backups in that folder, and drop the oldest of more
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..))]
    keep: Option<u16>,
}

pub(super) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let mut store = context.store()?;
    let shop = store.load(&Scope::Setup)?.shop;
    let folder = || folder_of(shop.setup.as_ref(), context.environment.home.as_deref());
    let to = args.to.clone().or_else(folder).ok_or_else(|| {
        Error::usage(
            "no folder for backups is set",
            "name one: tackfree ledger backup FOLDER, or set backup = \"FOLDER\" under [shop]"
                .to_owned(),
        )
    })?;
    if args.keep.is_some() && !to.is_dir() {
        return Err(Error::usage(
            format!("{} isn't a folder, and --keep is for folders", to.display()),
            "name a folder that is there, or leave out --keep",
        ));
    }
    let report = if to.is_dir() {
        into(&store, &to, args.keep, context.now, shop.zone())?
    } else {
        write(&store, &to)?
    };
    if let Err(error) = store.keep_memo(super::daily::BACKUP, &super::daily::stamp(context.now)) {
        context.notes.push(format!("it isn't noted down for the day sheet: {error}"));
    }
    context.screen.show(&report)
}

/// The folder that the setup names; "~" is the person's home.
pub(super) fn folder_of(setup: Option<&Setup>, home: Option<&Path>) -> Option<PathBuf> {
    let named = setup?.shop.backup.as_ref()?;
    Some(match named.strip_prefix("~/").zip(home) {
        Some((below, home)) => home.join(below),
        None => PathBuf::from(named),
    })
}

/// A backup in a folder, by its moment; older ones are dropped where only so many are kept.
pub(super) fn into(
    store: &Store,
    folder: &Path,
    keep: Option<u16>,
    now: Instant,
    zone: Zone,
) -> Result<BackupReport, Error> {
    if !folder.is_dir() {
        return Err(Error::system(
            format!("the folder {} isn't there", folder.display()),
            "look whether its drive is there, or make the folder",
        ));
    }
    let stem = store.path().file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let moment = now.with_timezone(&zone).format("%Y-%m-%d-%H%M%S");
    let mut report = write(store, &folder.join(format!("{stem}-{moment}.tackfree")))?;
    if let Some(keep) = keep {
        let dropped = store.thin(folder, &stem, usize::from(keep))?;
        report.dropped = dropped.iter().map(|path| path.display().to_string()).collect();
    }
    Ok(report)
}

fn write(store: &Store, to: &Path) -> Result<BackupReport, Error> {
    let checked = store.back_up(to)?;
    Ok(BackupReport {
        backup: to.display().to_string(),
        entries: checked.entries,
        last_hash: checked.last_hash,
        dropped: Vec::new(),
    })
}

impl From<NotCopied> for Error {
    fn from(error: NotCopied) -> Self {
        let next = match &error {
            NotCopied::Store(_) => "",
            NotCopied::There(_) => "name a file that isn't there yet; nothing is written over",
            NotCopied::Journal(_) => "move it away first; it may belong to a crashed database",
            NotCopied::Line(..) => "export it again, or look for a copy of the file that is whole",
            NotCopied::Io { .. } => "look whether the folder is there, its drive too, and has room",
            NotCopied::NotWhole(..) => {
                "see what is wrong: tackfree ledger check; keep the file as it is and go on from an older backup: tackfree ledger restore"
            }
        };
        match error {
            NotCopied::Store(error) => Self::Store(error),
            NotCopied::There(_) | NotCopied::Journal(_) => Self::usage(error.to_string(), next),
            _ => Self::system(error.to_string(), next),
        }
    }
}
