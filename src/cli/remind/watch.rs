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
use crate::report::watch::View;
use crate::store::{Scope, Store};
use crate::time::Viewpoint;
use crate::time::clock;

/// How often the screen is drawn anew.
const TICK: Duration = Duration::from_secs(1);

/// After so many ticks what stayed pending is tried again.
const TRY_AGAIN: u32 = 60;

pub(super) fn run(context: &mut Context<'_>) -> Result<(), Error> {
    let stop = stopped_by_hand()?;
    let mut watch = Watch {
        store: context.store()?,
        desktop: Desktop::default(),
        seen: BTreeSet::new(),
        ticks: 0,
        bars: (context.environment.terminal && !context.screen.json()).then(Bars::new),
    };
    say(context, "Watching. Ctrl-C ends it.")?;
    loop {
        watch.tick(context)?;
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
    /// The keys and lines seen last, so that only what is new is told and printed.
    seen: BTreeSet<String>,
    ticks: u32,
    bars: Option<Bars>,
}

impl Watch {
    fn tick(&mut self, context: &mut Context<'_>) -> Result<(), Error> {
        let now = clock::now(context.environment.now.as_deref())
            .map_err(|error| Error::System(error.to_string(), "set the clock right".to_owned()))?;
        let shop = self.store.load(&Scope::Open)?.shop;
        let from = shop.viewpoint(now);
        let view = View::new(&shop, from);
        let told = self.store.told(now)?;
        let keys: BTreeSet<String> = due(&shop, &told, now).iter().map(Thing::key).collect();
        if self.bars.is_none() {
            let new: Vec<String> =
                view.lines().into_iter().filter(|line| !self.seen.contains(line)).collect();
            for line in &new {
                say(context, line)?;
            }
        }
        if self.ticks.is_multiple_of(TRY_AGAIN) || !keys.is_subset(&self.seen) {
            self.tell(context, from)?;
        }
        self.seen = keys.into_iter().chain(view.lines()).collect();
        self.ticks = self.ticks.wrapping_add(1);
        if let Some(bars) = &mut self.bars {
            bars.draw(&view);
        }
        Ok(())
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
}

impl Bars {
    fn new() -> Self {
        let all = MultiProgress::new();
        let next = all.add(ProgressBar::new(0));
        next.set_style(style("{msg}"));
        Self { all, soaks: Vec::new(), next }
    }

    fn draw(&mut self, view: &View) {
        while self.soaks.len() > view.soaks.len() {
            if let Some(bar) = self.soaks.pop() {
                self.all.remove(&bar);
            }
        }
        while self.soaks.len() < view.soaks.len() {
            let bar = self.all.insert(self.soaks.len(), ProgressBar::new(1));
            bar.set_style(style("{prefix}  [{bar:24}]  {msg}"));
            self.soaks.push(bar);
        }
        for (bar, soak) in self.soaks.iter().zip(&view.soaks) {
            bar.set_prefix(soak.title.clone());
            bar.set_length(soak.whole);
            bar.set_position(soak.gone);
            bar.set_message(soak.left.clone());
            bar.tick();
        }
        let next = view.next.join("\n");
        self.next.set_message(if next.is_empty() {
            "Nothing else waits for hands.".to_owned()
        } else {
            next
        });
        self.next.tick();
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
