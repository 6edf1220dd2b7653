//! `climate import`: a logger's file.

use std::path::PathBuf;

use chrono::FixedOffset;
use clap::ValueEnum;

use crate::cli::error::InputFaults;
use crate::cli::{Context, Error, input};
use crate::report::Page;
use crate::report::climate::imported::{Imported, bad_lines};
use crate::report::refusal::quoted;
use crate::shop::logger::{DateOrder, Hints, Log, Unit, Unreadable};
use crate::shop::{Count, logger};
use crate::store::Scope;

/// Nine years of a reading every ten minutes.
const MOST_LINES: usize = 500_000;

/// `climate import`.
///
/// The file is CSV with headings for the time, the temperature and, where it has one, the humidity; the delimiter, the
/// decimal sign and the order of the columns are found by themselves. Stamps without an offset are the shop's own wall
/// time. A reading of a moment that the room's log has already is passed over, so the same file twice adds nothing.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The room, as the setup calls it
    room: String,
    /// The file; - reads standard input
    file: PathBuf,
    /// Leave out lines that can't be read, and take in the rest
    #[arg(long)]
    skip_bad: bool,
    /// Temperatures are °F, whatever the headings say
    #[arg(long)]
    fahrenheit: bool,
    /// Whether 03/04/2026 is 3 April (dmy) or 4 March (mdy), where the file leaves it open
    #[arg(long, value_name = "ORDER")]
    date_order: Option<Order>,
    /// The offset of stamps that carry none, where the logger's clock keeps one all year: "+00:00"
    #[arg(long, value_name = "OFFSET", value_parser = offset, allow_hyphen_values = true)]
    offset: Option<FixedOffset>,
}

/// The order of day and month.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum Order {
    /// Day before month
    Dmy,
    /// Month before day
    Mdy,
}

impl Args {
    fn name(&self) -> String {
        match self.file.to_str() {
            Some("-") => "standard input".to_owned(),
            _ => self.file.display().to_string(),
        }
    }

    fn again(&self) -> String {
        let file = self.file.display().to_string();
        format!("tackfree climate import {} {}", quoted(&self.room), quoted(&file))
    }
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let shop = context.load(&Scope::Setup)?.shop;
    let (mut store, view) = (context.store()?, context.view);
    shop.known_room(&args.room)?;
    let bytes = input::read(&args.file, input::LOG).map_err(|error| {
        let next = "name a logger's CSV file, or - for standard input";
        Error::input(format!("{} can't be read: {error}", args.name()), next)
    })?;
    if bytes.split(|octet| *octet == b'\n').count() > MOST_LINES {
        let message = format!("{} has over {MOST_LINES} lines", args.name());
        return Err(Error::input(message, "import it in parts"));
    }
    let hints = Hints {
        zone: view.zone,
        now: context.now,
        unit: args.fahrenheit.then_some(Unit::Fahrenheit),
        order: args.date_order.map(|order| match order {
            Order::Dmy => DateOrder::DayFirst,
            Order::Mdy => DateOrder::MonthFirst,
        }),
        offset: args.offset,
    };
    let log = logger::read(&bytes, &hints).map_err(|error| unreadable(args, &error))?;
    if log.bad_lines > 0 && !args.skip_bad {
        return Err(not_all_read(args, &log, context.environment.width));
    }
    let name = args.name();
    let (added, _) =
        store.add_readings::<Error>(context.now, &args.room, &log.readings, Some(&name))?;
    let moments = || log.readings.iter().map(|reading| reading.at);
    let imported = Imported {
        room: args.room.clone(),
        file: name,
        entry: added.entry,
        readings: log.readings.len(),
        new: added.new,
        differ: added.differ,
        first: moments().min().map(|at| view.stamp(at)),
        last: moments().max().map(|at| view.stamp(at)),
        bad_lines: log.bad_lines,
        bad: log.bad,
        layout: log.layout,
    };
    context.screen.show(&imported)
}

fn unreadable(args: &Args, error: &Unreadable) -> Error {
    let next = match error {
        Unreadable::Empty => "look whether the logger has written it".to_owned(),
        Unreadable::NoHeader => {
            "put a line of headings before the rows, such as: time,temperature,humidity".to_owned()
        }
        Unreadable::DateOrder { .. } => {
            format!("say which: {} --date-order dmy, or mdy", args.again())
        }
        Unreadable::DateOrders { .. } => {
            format!("import the parts one by one, or say which: {} --date-order dmy", args.again())
        }
    };
    Error::input(format!("{} can't be read: {error}", args.name()), next)
}

fn not_all_read(args: &Args, log: &Log, width: usize) -> Error {
    let mut page = Page::new(width, false);
    bad_lines(&log.bad, log.bad_lines, 0, &mut page);
    Error::Input(Box::new(InputFaults {
        message: format!(
            "{}: {} can't be read, {} can: nothing is stored",
            args.name(),
            Count(log.bad_lines as u64, "line"),
            log.readings.len()
        ),
        faults: log.bad.iter().filter_map(|line| serde_json::to_value(line).ok()).collect(),
        picture: page.into_text(),
        next: format!("fix these, or leave them out with: {} --skip-bad", args.again()),
    }))
}

fn offset(text: &str) -> Result<FixedOffset, String> {
    logger::offset_of(text).ok_or_else(|| {
        format!("{text:?} isn't an offset from UTC: expected \"+00:00\" or \"+01:00\"")
    })
}
