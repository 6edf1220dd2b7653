//! What can be typed, and the help that groups the commands by when they are used.

use std::ffi::OsString;
use std::io::Write;
use std::path::PathBuf;

use clap::error::ErrorKind;
use clap::{CommandFactory as _, Parser, Subcommand};

use crate::cli::context::nowhere;
use crate::cli::environment::Environment;
use crate::cli::examples::with_examples;
use crate::cli::{
    air, batch, begin, calendar, can, card, caution, climate, cure, demo, done, due, grit, kit,
    ledger, lot, note, pace, plan, promise, quote, racks, rags, remind, scan, schema, setup, ship,
    spares, stock, today, touch, trace, undo, usage, wall,
};

/// Keep the finishing of small turned pieces on time
#[derive(Debug, Parser)]
#[command(
    name = "tackfree",
    version,
    propagate_version = true,
    disable_help_subcommand = true,
    help_template = "{about}\n\n{usage-heading} {usage}\n\n{after-help}\n\nOptions:\n{options}"
)]
pub(crate) struct Cli {
    /// The database file.
    #[arg(
        long,
        global = true,
        value_name = "PATH",
        display_order = 100,
        help = "The database file [default: $TACKFREE_DB, else in the platform's data folder]"
    )]
    pub(crate) db: Option<PathBuf>,
    /// Answer in JSON, errors too
    #[arg(long, global = true, display_order = 101)]
    pub(crate) json: bool,
    /// What to do; the day sheet where nothing is said
    #[command(subcommand)]
    pub(crate) command: Option<Command>,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Write, check, store or print the setup: the shop, racks, finishes, recipes
    #[command(subcommand)]
    Setup(setup::Command),
    /// Open a can of finish, list cans, or call one empty
    #[command(subcommand)]
    Can(can::Command),
    /// Open an order's batch, change, cancel, list, show or close batches
    #[command(subcommand)]
    Batch(batch::Command),
    /// Start, show, split, join, move, hold, release, reject, rework or give lots
    #[command(subcommand)]
    Lot(lot::Command),
    /// Begin the next step of lots: starts the soak timer of a coat
    Begin(begin::Args),
    /// Record the next step of lots as done
    Done(done::Args),
    /// Record a touch test of a resting or curing lot
    Touch(touch::Args),
    /// Rack cards, a shipment's slip or its whole record, as a page to print
    Card(card::Args),
    /// The wall chart as a page: hands, racks, cures, rooms, promised dates
    Wall(wall::Args),
    /// From a can to every piece it touched and where it went; from a shipment back to its cans
    Trace(trace::Args),
    /// Take back the last entry, or the one named
    Undo(undo::Args),
    /// What needs hands: overdue, ready now, next
    Due(due::Args),
    /// The day sheet: the day's steps with clock times, what waits, what to lay out
    Today(today::Args),
    /// Blanks, abrasives, cloths on hand, and when each runs out
    Stock(stock::Args),
    /// What an order costs to make, line by line
    Quote(quote::Args),
    /// What stands where, how full, until when
    Racks(racks::Args),
    /// What will be: a time for every step, when each batch is ready, what limits it
    Plan(plan::Args),
    /// Dates with their odds, for a batch or for an order not yet taken
    Promise(promise::Args),
    /// Record by codes, one a line: a lot's, then an action's
    Scan(scan::Args),
    /// Rags not yet dealt with; record how they were
    Rags(rags::Args),
    /// The safety reference by topic or question: what to do, who says so, who decides
    ///
    /// Without words it lists the topics. A topic's name shows that topic, what to do first; a statement's id (R14) shows
    /// that statement; anything else is a question: tackfree caution "can I leave the rags in the bin overnight". It needs
    /// no setup and no network. It never says that something is good enough: it says who decides.
    Caution(caution::Args),
    /// Why lots are or are not cured: sheet, readings, age, forecast
    Cure(cure::Args),
    /// Record a room's readings, take in a logger's file, show the rooms
    #[command(subcommand)]
    Climate(climate::Command),
    /// Ship cured, inspected pieces; list, show, cancel shipments, take pieces back
    Ship(ship::Args),
    /// Keep a line about a batch, a lot, a can, a shipment or the shop
    Note(note::Args),
    /// Desktop reminders: send what is due, watch, install, remove, test, put off
    #[command(subcommand)]
    Remind(remind::Command),
    /// Write what is coming as a calendar file with alarms
    Calendar(calendar::Args),
    /// What to lay out: oil by can, cloths, strips by grit, gloves, the lidded metal can
    Kit(kit::Args),
    /// Grit ladders, grades in other systems, what a recipe skips, strips to cut
    Grit(grit::Args),
    /// Pieces to start so that enough good ones come out
    Spares(spares::Args),
    /// Minutes a piece: where time is lost, what is left; a stopwatch with splits
    Pace(pace::Args),
    /// Solvent a session gives off, and the airflow to the limits on the sheet
    Air(air::Args),
    /// The entries, and the proof that the history is whole
    #[command(subcommand)]
    Ledger(ledger::Command),
    /// The JSON Schema of a command's answer, for programs that read it
    Schema(schema::Args),
    /// Play an order of 132 bowls through on a virtual clock, in a database of its own
    Demo(demo::Args),
}

/// The commands by when they are used; a test holds this against the commands there are.
const GROUPS: [(&str, &[&str]); 8] = [
    ("Once, and when something changes", &["setup", "can"]),
    ("An order", &["batch", "promise", "quote", "plan", "lot", "ship"]),
    (
        "At the bench",
        &[
            "today", "due", "racks", "begin", "done", "touch", "cure", "climate", "rags", "scan",
            "caution", "note", "undo",
        ],
    ),
    ("To be told in time", &["remind", "calendar"]),
    ("To reckon", &["kit", "stock", "grit", "spares", "pace", "air"]),
    ("On paper", &["card", "wall"]),
    ("The record", &["trace", "ledger", "schema"]),
    ("To try it out", &["demo"]),
];

fn groups() -> String {
    let commands = Command::augment_subcommands(clap::Command::new("tackfree"));
    let line = |name: &&str| {
        let about = commands.find_subcommand(name).and_then(clap::Command::get_about);
        let about = about.map(ToString::to_string).unwrap_or_default();
        let (first, rest) = about.split_at(about.chars().next().map_or(0, char::len_utf8));
        format!("  {name:<9} {}{rest}", first.to_lowercase())
    };
    let mut lines = Vec::new();
    for (heading, names) in GROUPS {
        lines.push(format!("{heading}:"));
        lines.extend(names.iter().map(line));
        lines.push(String::new());
    }
    lines.push("Help for one of them: tackfree COMMAND --help".to_owned());
    lines.join("\n")
}

/// Every command, with its help.
pub(crate) fn command() -> clap::Command {
    with_examples(Cli::command().after_help(groups()))
}

/// Reads a command line. The groups and examples are put in only where help is shown: no other command waits for them.
pub(crate) fn parse(args: &[OsString]) -> Result<Cli, clap::Error> {
    Cli::try_parse_from(args).map_err(|error| match error.kind() {
        ErrorKind::DisplayHelp | ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand => {
            command().try_get_matches_from(args).err().unwrap_or(error)
        }
        _ => error,
    })
}

/// `help` and a command's name are that command with `--help`.
pub(crate) fn in_full(mut args: Vec<OsString>) -> Vec<OsString> {
    if args.get(1).is_some_and(|word| word == "help") {
        args.remove(1);
        args.push("--help".into());
    }
    args
}

/// Answers a command line that did not parse: help and version on standard output with 0, all else on standard error
/// with 2.
pub(crate) fn answer(
    error: &clap::Error,
    json: bool,
    environment: &Environment,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> u8 {
    let asks_for_help = error.kind() == ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand;
    if error.use_stderr() && (json || !asks_for_help) {
        return usage::error(error).show(nowhere(), json, environment, out, err);
    }
    let rendered = error.render();
    let text =
        |colour: bool| if colour { rendered.ansi().to_string() } else { rendered.to_string() };
    if error.use_stderr() {
        err.write_all(text(environment.colour_on_stderr).as_bytes()).ok();
        return 2;
    }
    out.write_all(text(environment.colour).as_bytes()).ok();
    0
}
