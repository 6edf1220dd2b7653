//! `wall`: the wall chart as one HTML page, written again by the timer where that is asked for.

use std::fs;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use crate::cli::card::Place;
use crate::cli::{Context, Error, Now, number};
use crate::report::paper::BEGINS;
use crate::report::paper::wall::Wall;
use crate::store::files::Over;
use crate::store::{Scope, Store};
use crate::time::{Instant, Span};

/// What the timer's page is noted down under.
const MEMO: &str = "wall";

/// How long a page stands though nothing was recorded: its "now" moves on.
const STANDS: Span = Span::minutes(10);

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    place: Place,
    /// Have the timer of tackfree remind install write the file again when something changes
    #[arg(long, requires = "out")]
    keep: bool,
    /// The timer no longer writes it
    #[arg(long, exclusive = true)]
    stop: bool,
    /// Days to draw
    #[arg(long, value_name = "N", default_value_t = 7, value_parser = number::whole("days", 1..=60))]
    days: u32,
    #[command(flatten)]
    now: Now,
}

/// The page that the timer writes.
#[derive(Serialize, Deserialize)]
struct Kept {
    file: PathBuf,
    days: u32,
    /// The last entry when it was written.
    entry: i64,
    /// When that was, in seconds since 1970-01-01 UTC.
    at: i64,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    if args.stop {
        context.store()?.drop_memo(MEMO)?;
        return context.screen.write("The timer writes no wall chart any more.\n");
    }
    let wall = Wall { keep: args.keep, ..wall(args.days, &args.now, context)? };
    let html = wall.html();
    if let (true, Some(out)) = (args.keep, &args.place.out) {
        // Written first: a place that can't be written to is not one to come back to.
        context.write_file(out, html.as_bytes(), Over::Kind(BEGINS))?;
        let mut store = context.store()?;
        let file = std::path::absolute(out)?;
        note(&mut store, file, args.days, context.now)?;
    }
    args.place.put(&html, context, |file| Wall { file, ..wall })
}

fn wall(days: u32, now: &Now, context: &mut Context<'_>) -> Result<Wall, Error> {
    let (loaded, view) = context.look(now, &Scope::Open)?;
    let followed = context.followed(&loaded, view.now)?;
    Ok(Wall::new(&loaded.shop, &followed.plan, days, view))
}

fn note(store: &mut Store, file: PathBuf, days: u32, now: Instant) -> Result<(), Error> {
    let entry = store.last_recorded()?.map_or(0, |(_, entry)| entry);
    let kept = Kept { file, days, entry, at: now.timestamp() };
    let kept = serde_json::to_string(&kept).map_err(std::io::Error::from)?;
    Ok(store.keep_memo(MEMO, &kept)?)
}

/// Writes the timer's page again where something was recorded since, or its "now" is old.
pub(crate) fn rewrite(context: &mut Context<'_>) -> Result<(), Error> {
    let store = context.store()?;
    let memos = store.told(context.now)?.memos;
    let Some(kept) = memos.get(MEMO).and_then(|kept| serde_json::from_str::<Kept>(kept).ok())
    else {
        return Ok(());
    };
    let entry = store.last_recorded()?.map_or(0, |(_, entry)| entry);
    let age = context.now.timestamp().abs_diff(kept.at);
    let old = i64::try_from(age).is_ok_and(|age| Span::seconds(age) >= STANDS);
    if entry == kept.entry && !old && Path::new(&kept.file).exists() {
        return Ok(());
    }
    drop(store);
    let wall = wall(kept.days, &Now { now: None }, context)?;
    let html = Wall { keep: true, ..wall }.html();
    let there = fs::read(&kept.file).is_ok_and(|there| there == html.as_bytes());
    if !there {
        context.write_file(&kept.file, html.as_bytes(), Over::Kind(BEGINS))?;
    }
    note(&mut context.store()?, kept.file, kept.days, context.now)
}
