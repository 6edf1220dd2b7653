//! `remind watch`: in the foreground until Ctrl-C.

mod bars;
mod large;

use std::collections::BTreeSet;
use std::sync::mpsc::{self, Receiver, RecvTimeoutError};
use std::time::Duration;

use crate::cli::remind::watch::bars::Bars;
use crate::cli::remind::watch::large::{Panel, Wake};
use crate::cli::{Context, Error, scan};
use crate::remind::desktop::Desktop;
use crate::remind::due::{Thing, due};
use crate::remind::notice::Button;
use crate::remind::send::send;
use crate::remind::stands::lot_at;
use crate::report::remind::Sent;
use crate::report::watch::{Soak, View};
use crate::shop::{EntryId, LotName, Shop};
use crate::store::{self, Scope, Store};
use crate::time::{Instant, Viewpoint};

/// How often the screen is redrawn.
const TICK: Duration = Duration::from_secs(1);

/// After so many ticks everything is worked out again, not the soaks alone.
const LOOK_ROUND: u32 = 10;

/// After so many ticks the bell rings again.
const RING_AGAIN: u32 = 30;

/// After so many ticks what stayed pending is tried again.
const TRY_AGAIN: u32 = 60;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The next thing alone, in letters that are read from the lathe; any key, or a pedal that sends one, answers "wiped"
    #[arg(long)]
    large: bool,
}

pub(super) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let person = context.environment.terminal && !context.screen.json();
    if args.large && !person {
        let next = "run it on a terminal, or leave out --large".to_owned();
        return Err(Error::usage("large letters need a terminal", next));
    }
    let stop = stopped_by_hand()?;
    let store = context.store()?;
    // The timers go on meanwhile.
    store.wait_at_most(TICK / 2)?;
    if !args.large {
        say(context, "Watching. Ctrl-C ends it.")?;
    }
    let shown = match person {
        true if args.large => Shown::Large(Panel::open(context)?),
        true => Shown::Bars(Bars::default()),
        false => Shown::Lines,
    };
    let mut watch = Watch {
        store,
        desktop: Desktop::listening(),
        known: None,
        keys: None,
        lines: BTreeSet::new(),
        ticks: 0,
        rung: None,
        busy: false,
        shown,
    };
    let ended = watch.until(&stop, context);
    match watch.shown {
        Shown::Lines => {}
        // The terminal's own "^C" stands at the cursor.
        Shown::Bars(_) => say(context, "")?,
        Shown::Large(panel) => panel.close(context)?,
    }
    ended?;
    say(context, "Stopped watching. What is still due is still due.")
}

/// A line between the answers. In JSON there are only answers, one for each time that something was told.
fn say(context: &mut Context<'_>, line: &str) -> Result<(), Error> {
    if context.screen.json() {
        return Ok(());
    }
    context.screen.write(&format!("{line}\n"))
}

/// Hears Ctrl-C, and a request to end.
fn stopped_by_hand() -> Result<Receiver<()>, Error> {
    let (say, stop) = mpsc::channel();
    ctrlc::set_handler(move || say.send(()).unwrap_or_default()).map_err(|error| {
        Error::system(
            format!("Ctrl-C can't be heard: {error}"),
            "run `tackfree remind send` instead",
        )
    })?;
    Ok(stop)
}

/// What a person looks at.
enum Shown {
    /// A pipe or a file.
    Lines,
    Bars(Bars),
    Large(Panel),
}

/// What a person answered.
#[derive(Debug, Clone, Copy)]
enum Reply {
    Button(Button),
    /// The last thing recorded is taken back.
    Undo,
}

/// The ledger's last entry.
type LastEntry = Option<(Instant, EntryId)>;

struct Watch {
    store: Store,
    desktop: Desktop,
    /// The shop as it was read up to that entry, and what was seen of it. What reminders note for each other isn't news.
    known: Option<(LastEntry, Shop, View)>,
    /// What was due when it was told last; while it is the same nothing is.
    keys: Option<BTreeSet<String>>,
    /// The lines printed last; only what is new is printed.
    lines: BTreeSet<String>,
    ticks: u32,
    /// When the bell was last rung.
    rung: Option<u32>,
    /// Whether it was said that the database is busy.
    busy: bool,
    shown: Shown,
}

impl Watch {
    /// Goes on until it is stopped.
    fn until(&mut self, stop: &Receiver<()>, context: &mut Context<'_>) -> Result<(), Error> {
        let mut reply = None;
        loop {
            let answered =
                reply.map_or(Ok(()), |reply| self.answer(reply, self.in_hand(), context));
            match answered.and_then(|()| self.tick(context)) {
                // A backup takes a while; who watches a soak must not be left alone by it.
                Err(Error::Store(store::Error::Busy { .. })) => self.is_busy(context)?,
                ended => {
                    self.busy = false;
                    ended?;
                }
            }
            reply = match self.wait(stop)? {
                Wake::Tick => None,
                Wake::Stop => return Ok(()),
                Wake::Answer(reply) => Some(reply),
            };
        }
    }

    fn wait(&mut self, stop: &Receiver<()>) -> Result<Wake, Error> {
        if let Shown::Large(panel) = &mut self.shown {
            return panel.wait(stop);
        }
        Ok(match stop.recv_timeout(TICK) {
            Err(RecvTimeoutError::Timeout) => Wake::Tick,
            Ok(()) | Err(RecvTimeoutError::Disconnected) => Wake::Stop,
        })
    }

    /// The lot to which a key answers: the one that is to be wiped first.
    fn in_hand(&self) -> Option<LotName> {
        let (.., view) = self.known.as_ref()?;
        view.soaks.first().filter(|soak| soak.due()).map(|soak| soak.lot.clone())
    }

    /// Does what a person answered, by the same commands as if it had been typed.
    fn answer(
        &mut self,
        reply: Reply,
        lot: Option<LotName>,
        context: &mut Context<'_>,
    ) -> Result<(), Error> {
        let said = match (reply, lot) {
            (Reply::Undo, _) => scan::read("UNDO", &mut None, context)?,
            (Reply::Button(Button::Wiped), Some(lot)) => {
                scan::read("WIPED", &mut Some(lot), context)?
            }
            (Reply::Button(Button::Later), Some(lot)) => {
                let words = ["remind", "later", &lot.to_string(), "2m"].map(str::to_owned);
                scan::command(&words, context)
            }
            (Reply::Button(_), None) => scan::Answer::Refused("nothing is to be wiped yet".into()),
        };
        // What was answered is told no longer.
        self.keys = None;
        self.known = None;
        self.say_above(said.said(), context)
    }

    fn tick(&mut self, context: &mut Context<'_>) -> Result<(), Error> {
        let now = context.environment.clock()?;
        self.hear(now, context)?;
        let tick = self.ticks;
        self.ticks = tick.wrapping_add(1);
        let last = self.store.last_recorded()?;
        let known = self.known.take().filter(|(read_to, ..)| *read_to == last);
        let is_news = known.is_none();
        let (shop, before) = match known {
            Some((_, shop, before)) => (shop, Some(before)),
            None => (self.store.load(&Scope::Open)?.shop, None),
        };
        let from = shop.viewpoint(now);
        let soaks = View::soaks(&shop, from);
        // All the rest changes by the minute, not by the second, unless a soak is just over.
        let turned = before.as_ref().is_none_or(|before| {
            before.soaks.iter().zip(&soaks).any(|(before, soak)| before.due() != soak.due())
        });
        let view = match before {
            Some(before) if !turned && !tick.is_multiple_of(LOOK_ROUND) => View { soaks, ..before },
            _ => View::new(&shop, from),
        };
        if is_news || turned || tick.is_multiple_of(LOOK_ROUND) {
            self.look_round(context, &shop, &view, tick, from)?;
        }
        self.ring(context, &view, tick)?;
        match &mut self.shown {
            Shown::Lines => {}
            Shown::Bars(bars) => bars.draw(&view, context)?,
            Shown::Large(panel) => panel.draw(&view, context)?,
        }
        self.known = Some((last, shop, view));
        Ok(())
    }

    /// Answers the buttons pressed on notices that still stand.
    fn hear(&mut self, now: Instant, context: &mut Context<'_>) -> Result<(), Error> {
        for press in self.desktop.pressed() {
            let lot = lot_at(&self.store.told(now)?, &press.place);
            if lot.is_some() {
                self.answer(Reply::Button(press.button), lot, context)?;
            }
        }
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
        let lines = view.lines();
        if matches!(self.shown, Shown::Lines) {
            for line in lines.iter().filter(|line| !self.lines.contains(*line)) {
                say(context, line)?;
            }
        }
        if tick.is_multiple_of(TRY_AGAIN) || self.keys.as_ref() != Some(&keys) {
            self.tell(context, from)?;
        }
        self.keys = Some(keys);
        self.lines = lines.into_iter().collect();
        Ok(())
    }

    /// Rings the terminal's bell when a wipe is due, and again until it is recorded.
    fn ring(&mut self, context: &mut Context<'_>, view: &View, tick: u32) -> Result<(), Error> {
        if matches!(self.shown, Shown::Lines) {
            return Ok(());
        }
        if !view.soaks.iter().any(Soak::due) {
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
        self.say_above(line, context)
    }

    /// Says a line above what stays on the screen.
    fn say_above(&mut self, line: &str, context: &mut Context<'_>) -> Result<(), Error> {
        match &mut self.shown {
            Shown::Lines => say(context, line),
            Shown::Bars(bars) => {
                bars.clear(context)?;
                say(context, line)
            }
            Shown::Large(panel) => {
                line.clone_into(&mut panel.said);
                Ok(())
            }
        }
    }

    /// Sends what is due, and says here what was sent.
    fn tell(&mut self, context: &mut Context<'_>, view: Viewpoint) -> Result<(), Error> {
        let report = Sent::new(send(&mut self.store, &mut self.desktop, view.now)?, view);
        if report.notices.is_empty() {
            return Ok(());
        }
        match &mut self.shown {
            Shown::Lines => {}
            Shown::Bars(bars) => bars.clear(context)?,
            // The next thing stands there in large letters; what else was told would only hide it.
            Shown::Large(_) => return Ok(()),
        }
        context.screen.show(&report)?;
        report.pending().map_or(Ok(()), |note| say(context, &note))
    }
}
