//! What every command is given: the database, the clock's answer, the screen.

use std::collections::BTreeSet;
use std::ffi::OsStr;
use std::io::Write;
use std::path::{Path, PathBuf};

use crate::cli::args::Cli;
use crate::cli::environment::Environment;
use crate::cli::patience::Patience;
use crate::cli::screen::Screen;
use crate::cli::{At, Error, Now};
use crate::plan::day::{Followed, followed};
use crate::plan::shop_plan::{Asked, NoPlan};
use crate::report::clock::ClockBehind;
use crate::report::receipt::Receipt;
use crate::shop::due::Urgency;
use crate::shop::refusal::Wait;
use crate::shop::setup::Setup;
use crate::shop::{Entry, EntryId, Journal, Lot, Refusal, Shop, Subject, SubjectKind};
use crate::store::files::{NotWritten, Over};
use crate::store::{self, Loaded, Scope, Store, files};
use crate::time::{Instant, Viewpoint, clock};

/// What a command works with.
pub(crate) struct Context<'a> {
    /// Where its answer goes.
    pub(crate) screen: Screen<'a>,
    pub(crate) environment: &'a Environment,
    pub(crate) now: Instant,
    /// Lines for standard error, beside the answer.
    pub(crate) notes: Vec<String>,
    /// The entries that this command recorded.
    pub(crate) recorded: Vec<EntryId>,
    /// From where a refusal says its times: of the shop read last.
    pub(crate) view: Viewpoint,
    database: PathBuf,
    /// Whether it was named, by `--db` or `TACKFREE_DB`.
    named: bool,
}

impl<'a> Context<'a> {
    pub(crate) fn new(
        cli: &Cli,
        environment: &'a Environment,
        out: &'a mut dyn Write,
    ) -> Result<Self, Error> {
        let now = clock::now(environment.now.as_deref()).map_err(|error| {
            Error::usage(error.to_string(), "set TACKFREE_NOW as RFC 3339, or leave it unset")
        })?;
        Ok(Self {
            screen: Screen::new(out, environment.width, environment.colour, cli.json),
            environment,
            now,
            notes: Vec::new(),
            recorded: Vec::new(),
            view: nowhere(),
            database: database(cli.db.as_deref().map(Path::as_os_str), environment)?,
            named: cli.db.is_some() || environment.database.is_some(),
        })
    }

    pub(crate) fn database(&self) -> &Path {
        &self.database
    }

    /// Reads the shop as it is now.
    pub(crate) fn load(&mut self, scope: &Scope) -> Result<Loaded, Error> {
        let loaded = self.store()?.load(scope)?;
        self.view = loaded.shop.viewpoint(self.now);
        Ok(loaded)
    }

    /// Opens the database. At the usual place there may be none yet, and the shop is empty; one that was named is meant to
    /// be there, and a mistyped path doesn't make a shop.
    pub(crate) fn store(&self) -> Result<Store, Error> {
        if self.begins_here() {
            return Ok(Store::nothing_yet(&self.database)?);
        }
        Ok(Store::open(&self.database)?)
    }

    /// Makes the database where there is none; says whether it had to.
    pub(crate) fn make_database(&self) -> Result<bool, Error> {
        self.make_folder()?;
        Ok(Store::make(&self.database)?)
    }

    /// What is or was called so, or by a name that looks like it.
    pub(crate) fn named_like(&self, kind: SubjectKind, name: &str) -> Result<Scope, Error> {
        let alike = self.store()?.alike(kind, name)?;
        Ok(Scope::With(alike.into_iter().chain([Subject::new(kind, name)]).collect()))
    }

    /// Makes the usual folder, where the database is to be made in it.
    pub(crate) fn make_folder(&self) -> Result<(), Error> {
        let path = self.database.clone();
        if self.begins_here() {
            let folder = path.parent().unwrap_or(Path::new("."));
            files::make_folder(folder).map_err(|source| store::Error::Folder { path, source })?;
        }
        Ok(())
    }

    fn begins_here(&self) -> bool {
        !self.named && matches!(self.database.try_exists(), Ok(false))
    }

    /// Writes a file that was asked for, over nothing but what may be replaced.
    pub(crate) fn write_file(&self, path: &Path, octets: &[u8], over: Over) -> Result<(), Error> {
        files::write(path, octets, over, &self.database).map_err(|error| {
            let next = "name a file that isn't there yet, in a folder that is".to_owned();
            match error {
                NotWritten::Io(..) => Error::system(error.to_string(), next),
                _ => Error::usage(error.to_string(), next),
            }
        })
    }

    /// The setup in force, where there is a database and it can be read. For the cautions alone, which need no
    /// database: whoever asks what to do with a smoking rag doesn't look after a database first.
    pub(crate) fn setup_if_any(&self) -> Option<Setup> {
        if !self.database.exists() {
            return None;
        }
        Store::open(&self.database).ok()?.load(&Scope::Setup).ok()?.shop.setup
    }

    /// Reads the shop for a command that only looks, as it will look or looked at the moment asked for. Where none was
    /// asked for nothing recorded is left out, though the clock stand before it: it may have been set back.
    pub(crate) fn look(&mut self, when: &Now, scope: &Scope) -> Result<(Loaded, Viewpoint), Error> {
        let mut store = self.store()?;
        let setup = when.now.is_some().then(|| store.load(&Scope::Setup)).transpose()?;
        let view = setup.map(|loaded| loaded.shop.viewpoint(self.now));
        let asked = view.map(|view| when.read(self.now, view.zone)).transpose()?;
        // What was open at an earlier moment may be closed by now and not among what is open.
        let earlier = asked.filter(|asked| *asked < self.now);
        let mut loaded = match earlier {
            Some(earlier) => store.load_as_of(scope, earlier)?,
            None => store.load(scope)?,
        };
        let view = view.unwrap_or_else(|| loaded.shop.viewpoint(self.now));
        self.hold_clock_against(store.last_recorded()?, &loaded.entries, view);
        // Where the clock was set back, entries may lie ahead even of a moment to come.
        let ahead = |asked: &Instant| loaded.entries.iter().any(|entry| *asked < entry.at);
        if let Some(asked) = asked.filter(|asked| earlier.is_none() && ahead(asked)) {
            loaded = store.load_as_of(scope, asked)?;
        }
        self.view = Viewpoint { now: asked.unwrap_or(self.now), ..view };
        Ok((loaded, self.view))
    }

    /// The plan that is followed at a moment, with word of how far it is while that takes long.
    pub(crate) fn followed(&self, loaded: &Loaded, now: Instant) -> Result<Followed, NoPlan> {
        let patience = Patience::new(self.environment, "Planning");
        let asked = Asked::usual(&loaded.shop, &loaded.entries, now);
        let followed = followed(&loaded.shop, &asked, &|done, of| patience.goes_on(done, of));
        patience.over();
        followed
    }

    /// Has it said by the plan of that minute, as on the day sheet, when lots are moved, while some of them cure and may be carried
    /// to another room: that plan stands in for the kept one.
    pub(crate) fn move_by_the_minute(&self, loaded: &mut Loaded, now: Instant) {
        let shop = &loaded.shop;
        let racks = shop.setup.iter().flat_map(|setup| &setup.racks);
        let rooms: BTreeSet<&String> = racks.map(|rack| &rack.room).collect();
        let cures = |lot: &Lot| {
            let item = shop.item_as_it_stands(lot, now);
            item.urgency == Urgency::Next && item.wait == Some(Wait::Cure)
        };
        let carried = |lot: &Lot| lot.held.is_none() && cures(lot);
        let moves = shop.kept.is_some() && rooms.len() > 1 && shop.open_lots().any(carried);
        if moves && let Ok(followed) = self.followed(loaded, now) {
            loaded.shop.kept = Some(followed.plan);
        }
    }

    /// Has every answer say so where the clock stands before the last entry, or before one of those read.
    pub(crate) fn hold_clock_against(
        &mut self,
        last: Option<(Instant, EntryId)>,
        read: &[Entry],
        view: Viewpoint,
    ) {
        let read = read.iter().map(|entry| (entry.recorded.max(entry.at), entry.id));
        let view = Viewpoint { now: self.now, ..view };
        self.screen.clock_behind =
            read.chain(last).max().and_then(|latest| ClockBehind::new(latest, view));
    }

    /// Records in one transaction: all that `write` records, or nothing. `write` is given the moment `--at` means.
    pub(crate) fn record<T>(
        &mut self,
        when: &At,
        scope: &Scope,
        write: impl FnOnce(&mut Journal, Instant) -> Result<T, Error>,
    ) -> Result<(T, Journal, Viewpoint), Error> {
        let mut store = self.store()?;
        let (now, last) = (self.now, store.last_recorded()?);
        let (outcome, journal) = store.record(scope, now, |journal| {
            let zone = journal.shop.zone();
            let written = when.read(now, zone).and_then(|at| write(journal, at));
            self.view = journal.shop.viewpoint(now);
            written
        })?;
        let view = self.view;
        if store.kept_nowhere() {
            return Err(Refusal::NoSetup.into());
        }
        self.hold_clock_against(last, journal.before(), view);
        self.recorded.extend(journal.added().iter().map(|entry| entry.id));
        Ok((outcome, journal, view))
    }

    /// Records and answers with the receipt.
    pub(crate) fn record_and_show<T>(
        &mut self,
        when: &At,
        scope: &Scope,
        write: impl FnOnce(&mut Journal, Instant) -> Result<T, Error>,
    ) -> Result<(), Error> {
        let (_, journal, view) = self.record(when, scope, write)?;
        self.screen.show(&Receipt::new(&journal, view))
    }
}

/// From where an error is said while no shop has been read.
pub(crate) fn nowhere() -> Viewpoint {
    Shop::default().viewpoint(Instant::default())
}

/// The file that was named. `SQLite` has names of its own for what is nowhere kept.
fn file(name: &OsStr) -> Result<PathBuf, Error> {
    let text = name.to_string_lossy();
    if text.starts_with(":memory:") || text.starts_with("file:") {
        let next = "name a file: --db shop.tackfree".to_owned();
        return Err(Error::usage(format!("{text:?} isn't the name of a file"), next));
    }
    Ok(PathBuf::from(name))
}

/// The database that is meant: the one named on the command line, else in the environment, else at the usual place.
pub(crate) fn database(named: Option<&OsStr>, environment: &Environment) -> Result<PathBuf, Error> {
    named.or(environment.database.as_deref()).map_or_else(|| usual(environment), file)
}

fn usual(environment: &Environment) -> Result<PathBuf, Error> {
    let folder = environment.data_folder.as_ref().ok_or_else(|| {
        Error::usage(
            "no place for the database: there's no home folder",
            "name one with --db PATH or TACKFREE_DB",
        )
    })?;
    Ok(folder.join("shop.tackfree"))
}
