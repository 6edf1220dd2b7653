//! `today`: the day sheet.

use crate::cli::ledger::kept;
use crate::cli::patience::Patience;
use crate::cli::remind::hold_against;
use crate::cli::{Context, Error};
use crate::plan::day::Followed;
use crate::report::today::Today;
use crate::store::Scope;
use crate::time::{Instant, Viewpoint, local_date, read_date, read_moment};

/// `today`.
#[derive(Debug, Default, clap::Args)]
pub(crate) struct Args {
    /// Another day, or another time: "tomorrow", "2026-03-04", "2026-03-04 09:40"
    #[arg(long, value_name = "TIME")]
    now: Option<String>,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    hold_against(context)?;
    let zone = context.store()?.load(&Scope::Setup)?.shop.zone();
    let asked_for = args.moment(context.now, zone)?;
    let day = local_date(asked_for, zone);
    // A day to come is read off the plan from now on: nobody plans as if today's work were left undone.
    let looked =
        crate::cli::when::Now { now: args.now.clone().filter(|_| asked_for <= context.now) };
    let (loaded, view) = context.look(&looked, &Scope::Open)?;
    let Followed { plan, drift } = context.followed(&loaded, view.now)?;
    let mut today = Today::new(&loaded.shop, &plan, drift.as_ref(), day, view);
    today.cut_short = Patience::enough();
    let wanted = loaded.shop.setup.as_ref().is_some_and(|setup| setup.shop.backup.is_some());
    today.history = kept(&mut context.store()?, Viewpoint { now: context.now, ..view }, wanted)?;
    context.screen.show(&today)
}

impl Args {
    /// The moment meant; a bare day is its first moment, today is now.
    fn moment(&self, now: Instant, zone: crate::time::Zone) -> Result<Instant, Error> {
        let Some(text) = &self.now else { return Ok(now) };
        if let Ok(date) = read_date(text, now, zone) {
            let first = crate::time::first_instant_of(date, zone);
            return Ok(if date == local_date(now, zone) { now } else { first });
        }
        read_moment(text, now, zone).map_err(|error| {
            let next = "give --now as \"tomorrow\", \"2026-03-04\" or \"2026-03-04 09:40\"";
            Error::usage(format!("--now: {error}"), next)
        })
    }
}
