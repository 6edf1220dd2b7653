//! `remind watch`: in the foreground until Ctrl-C.

use std::collections::BTreeSet;
use std::sync::mpsc::{self, Receiver, RecvTimeoutError};
use std::time::Duration;

use indicatif::{MultiProgress, ProgressBar, ProgressDrawTarget, ProgressStyle};

use crate::cli::context::Context;
use crate::cli::error::Error;
use crate::remind::desktop::Desktop;
use crate::remind::due::{Thing, due};
use crate::remind::send::send;
use crate::report::remind::Sent;
use crate::report::watch::{Soak, View, cut};
use crate::shop::Shop;
use crate::store::{self, Scope, Store};
use crate::time::Viewpoint;
use crate::time::clock;

/// How often the screen is drawn anew.
const TICK: Duration = Duration::from_secs(1);

/// After so many ticks everything is reckoned anew, not the soaks alone.
const LOOK_ROUND: u32 = 10;

/// After so many ticks the bell rings again.
const RING_AGAIN: u32 = 30;

/// After so many ticks what stayed pending is tried again.
const TRY_AGAIN: u32 = 60;

pub(super) fn run(context: &mut Context<'_>) -> Result<(), Error> {
    let stop = stopped_by_hand()?;
    let store = context.store()?;
    // The timers go on meanwhile.
    store.wait_at_most(TICK / 2)?;
    let mut watch = Watch {
        store,
        desktop: Desktop::default(),
        known: None,
        seen: BTreeSet::new(),
        ticks: 0,
        rung: None,
        busy: false,
        bars: (context.environment.terminal && !context.screen.json()).then(Bars::new),
    };
    say(context, "Watching. Ctrl-C ends it.")?;
    loop {
        match watch.tick(context) {
            // A backup takes a while; who watches a soak must not be left alone by it.
            Err(Error::Store(store::Error::Busy { .. })) => watch.is_busy(context)?,
            ended => {
                watch.busy = false;
                ended?;
            }
        }
        match stop.recv_timeout(TICK) {
            Err(RecvTimeoutError::Timeout) => {}
            Ok(()) | Err(RecvTimeoutError::Disconnected) => break,
        }
    }
    if let Some(bars) = watch.bars {
        bars.leave();
        say(context, "")?;
    }
    say(context, "Stopped watching. What is still due is still due.")
}

/// A line between the answers. In JSON there are only answers, one for each time that something was told.
fn say(context: &mut Context<'_>, line: &str) -> Result<(), Error> {
    if context.screen.json() {
        return Ok(());
    }
    Ok(context.screen.write(&format!("{line}\n"))?)
}

/// Hears Ctrl-C, and a request to end.
fn stopped_by_hand() -> Result<Receiver<()>, Error> {
    let (say, stop) = mpsc::channel();
    ctrlc::set_handler(move || say.send(()).unwrap_or_default()).map_err(|error| {
        Error::System(
            format!("Ctrl-C can't be heard: {error}"),
            "run `tackfree remind send` instead".to_owned(),
        )
    })?;
    Ok(stop)
}

struct Watch {
    store: Store,
    desktop: Desktop,
    /// The shop as it was read, under the number that says whether anybody has written since, and what was seen of it.
    known: Option<(i64, Shop, View)>,
    /// The keys and lines seen last, so that only what is new is told and printed.
    seen: BTreeSet<String>,
    ticks: u32,
    /// When the bell was last rung.
    rung: Option<u32>,
    /// Whether it was said that the database is busy.
    busy: bool,
    bars: Option<Bars>,
}

impl Watch {
    fn tick(&mut self, context: &mut Context<'_>) -> Result<(), Error> {
        let now = clock::now(context.environment.now.as_deref())
            .map_err(|error| Error::System(error.to_string(), "set the clock right".to_owned()))?;
        let tick = self.ticks;
        self.ticks = tick.wrapping_add(1);
        let version = self.store.version()?;
        let known = self.known.take().filter(|(read_as, ..)| *read_as == version);
        let is_news = known.is_none();
        let (shop, before) = match known {
            Some((_, shop, before)) => (shop, Some(before)),
            None => (self.store.load(&Scope::Open)?.shop, None),
        };
        let from = shop.viewpoint(now);
        let soaks = View::soaks(&shop, from);
        // All the rest changes by the minute, not by the second, unless a soak is just over.
        let turned = before.as_ref().is_none_or(|before| {
            before.soaks.iter().zip(&soaks).any(|(before, soak)| before.due != soak.due)
        });
        let view = match before {
            Some(before) if !turned && !tick.is_multiple_of(LOOK_ROUND) => {
                View { soaks, next: before.next }
            }
            _ => View::new(&shop, from),
        };
        if is_news || turned || tick.is_multiple_of(LOOK_ROUND) {
            self.look_round(context, &shop, &view, tick, from)?;
        }
        self.ring(context, &view, tick)?;
        if let Some(bars) = &mut self.bars {
            bars.draw(&view, context)?;
        }
        self.known = Some((version, shop, view));
        Ok(())
    }

    /// Prints what is new, and tells what is due.
    fn look_round(
        &mut self,
        context: &mut Context<'_>,
        shop: &Shop,
        view: &View,
        tick: u32,
        from: Viewpoint,
    ) -> Result<(), Error> {
        let told = self.store.told(from.now)?;
        let keys: BTreeSet<String> = due(shop, &told, from.now).iter().map(Thing::key).collect();
        if self.bars.is_none() {
            let new: Vec<String> =
                view.lines().into_iter().filter(|line| !self.seen.contains(line)).collect();
            for line in &new {
                say(context, line)?;
            }
        }
        if tick.is_multiple_of(TRY_AGAIN) || !keys.is_subset(&self.seen) {
            self.tell(context, from)?;
        }
        self.seen = keys.into_iter().chain(view.lines()).collect();
        Ok(())
    }

    /// Rings the terminal's bell when a wipe is due, and again until it is recorded.
    fn ring(&mut self, context: &mut Context<'_>, view: &View, tick: u32) -> Result<(), Error> {
        if self.bars.is_none() {
            return Ok(());
        }
        if !view.soaks.iter().any(|soak| soak.due) {
            self.rung = None;
        } else if self.rung.is_none_or(|rung| tick.wrapping_sub(rung) >= RING_AGAIN) {
            self.rung = Some(tick);
            context.screen.write("\u{7}")?;
        }
        Ok(())
    }

    fn is_busy(&mut self, context: &mut Context<'_>) -> Result<(), Error> {
        if self.busy {
            return Ok(());
        }
        self.busy = true;
        let line =
            "Another program is writing to the database; watching goes on once it has ended.";
        match &self.bars {
            Some(bars) => bars.all.suspend(|| say(context, line)),
            None => say(context, line),
        }
    }

    /// Sends what is due, and says here what was sent.
    fn tell(&mut self, context: &mut Context<'_>, view: Viewpoint) -> Result<(), Error> {
        let report = Sent::new(send(&mut self.store, &mut self.desktop, view.now)?, view);
        if report.notices.is_empty() {
            return Ok(());
        }
        let mut show = || -> Result<(), Error> {
            context.screen.show(&report)?;
            report.pending().map_or(Ok(()), |note| say(context, &note))
        };
        match &self.bars {
            Some(bars) => bars.all.suspend(&mut show)?,
            None => show()?,
        }
        Ok(())
    }
}

/// The soak timers as bars, the next things below.
struct Bars {
    all: MultiProgress,
    soaks: Vec<ProgressBar>,
    next: ProgressBar,
    /// The columns drawn for last.
    width: Option<usize>,
}

impl Bars {
    fn new() -> Self {
        let all = MultiProgress::new();
        let next = all.add(ProgressBar::new(0));
        next.set_style(style("{msg}"));
        Self { all, soaks: Vec::new(), next, width: None }
    }

    fn draw(&mut self, view: &View, context: &mut Context<'_>) -> Result<(), Error> {
        let width = terminal_size::terminal_size()
            .map_or(context.environment.width, |(width, _)| usize::from(width.0));
        if self.width != Some(width) {
            // What was drawn for another width can't be found again line by line.
            if self.width.is_some() {
                self.all.suspend(|| context.screen.write("\u{1b}[2J\u{1b}[H"))?;
            }
            self.width = Some(width);
        }
        // A full line would make the cursor wrap.
        let width = width.saturating_sub(1);
        while self.soaks.len() > view.soaks.len() {
            if let Some(bar) = self.soaks.pop() {
                self.all.remove(&bar);
            }
        }
        while self.soaks.len() < view.soaks.len() {
            let bar = self.all.insert(self.soaks.len(), ProgressBar::new(1));
            bar.set_style(style("{msg}"));
            self.soaks.push(bar);
        }
        let lines = Soak::drawn(&view.soaks, width);
        for ((bar, soak), line) in self.soaks.iter().zip(&view.soaks).zip(lines) {
            let loud = soak.due && context.environment.colour;
            // Bold and reversed.
            bar.set_message(if loud { format!("\u{1b}[1;7m{line}\u{1b}[0m") } else { line });
            bar.tick();
        }
        let next: Vec<String> = view.next.iter().map(|line| cut(line, width)).collect();
        self.next.set_message(if next.is_empty() {
            "Nothing else waits for hands.".to_owned()
        } else {
            next.join("\n")
        });
        self.next.tick();
        Ok(())
    }

    /// Leaves them on the screen as they stand: the terminal's own "^C" has moved the cursor, so that drawing anew would
    /// miss them by a line.
    fn leave(&self) {
        self.all.set_draw_target(ProgressDrawTarget::hidden());
    }
}

/// A style from a template of ours; indicatif's own where it can't read it.
fn style(template: &str) -> ProgressStyle {
    ProgressStyle::with_template(template)
        .unwrap_or_else(|_| ProgressStyle::default_bar())
        .progress_chars("=> ")
}
