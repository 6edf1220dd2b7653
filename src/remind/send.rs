//! One run of `remind send`: claim what is due, show it, mark what became of it; and take back what is settled.

use std::collections::{BTreeMap, BTreeSet};

use crate::remind::command::Commands;
use crate::remind::desktop::{Desktop, Found, Job, Outcome, Place};
use crate::remind::due::{Thing, due, told_from};
use crate::remind::notice::{Kind, Notice};
use crate::remind::stands::{Stands, standing};
use crate::remind::wording::notice;
use crate::remind::{command, forecast};
use crate::shop::{LotName, Shop, setup};
use crate::store::{self, Claim, Mark, Memory, Store, Wanted};
use crate::time::{Instant, Span, Viewpoint};

/// The channel's name in what was told.
const DESKTOP: &str = "desktop";

/// The memo of since when the operating system is to send.
pub(crate) const INSTALLED: &str = "installed";

/// A gap that long between runs doesn't matter: a machine that wakes up runs it at once.
const SILENCE: Span = Span::minutes(5);

/// The channel of the shop's own sound.
const SOUND: &str = "sound";

/// What one run did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Run {
    pub(crate) notices: Vec<Told>,
    /// Things that wait for the shop to open.
    pub(crate) quiet: usize,
    /// When it opens, where something waits for it.
    pub(crate) opens: Option<Instant>,
    /// Where it is told.
    pub(crate) view: Viewpoint,
}

/// A notice, and what became of it on one channel.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Told {
    pub(crate) notice: Notice,
    /// The command it was handed to; nothing is the desktop.
    pub(crate) by: Option<String>,
    pub(crate) outcome: Outcome,
}

/// What is to be done about one notice.
#[derive(Default)]
struct Work {
    claims: Vec<Claim>,
    things: Vec<Thing>,
    /// Whether it tells something new.
    new: bool,
}

/// Tells what is due at `now` and not told yet, and takes back what is settled. What can't be told stays pending for the
/// next run.
pub(crate) fn send(
    store: &mut Store,
    desktop: &mut Desktop,
    now: Instant,
) -> Result<Run, store::Error> {
    // Whether a notice still stands only the service itself could say; that it is another one is enough to know.
    let found =
        if store.told(now)?.notices.is_empty() { Found::default() } else { desktop.look().clone() };
    forecast::refresh(store, now)?;
    let (loaded, told, claims) = store.claim(now, |shop, told| wanted(shop, told, &found, now))?;
    let shop = loaded.shop;
    let things = due(&shop, &told, now);
    let (shown, handed): (Vec<Claim>, Vec<Claim>) =
        claims.into_iter().partition(|claim| claim.channel == DESKTOP);
    let mut run = Sending { store, shop: &shop, things: &things, now, notices: Vec::new() };
    run.show(desktop, &told, shown)?;
    run.sound(desktop, &handed)?;
    run.hand_over(&handed)?;
    let notices = run.notices;
    let quiet: Vec<&Thing> = things.iter().filter(|thing| !told_now(&shop, thing, now)).collect();
    Ok(Run {
        notices,
        quiet: quiet.len(),
        opens: quiet.first().and_then(|thing| told_from(&shop, thing, now)),
        view: shop.viewpoint(now),
    })
}

/// A run under way.
struct Sending<'a> {
    store: &'a mut Store,
    shop: &'a Shop,
    things: &'a [Thing],
    now: Instant,
    notices: Vec<Told>,
}

impl Sending<'_> {
    /// On the desktop: what is new, and what has become of the notices that stand there.
    fn show(
        &mut self,
        desktop: &mut Desktop,
        told: &Memory,
        claims: Vec<Claim>,
    ) -> Result<(), store::Error> {
        let stands = standing(told);
        let mut work: Vec<(String, Work)> =
            work(self.things, told, &stands, claims).into_iter().collect();
        // What is settled first, then the most pressing: whoever reads has its place free for it.
        work.sort_by_key(|(_, work)| work.things.first().map(|thing| (thing.kind, !thing.late)));
        let mut notices = Vec::new();
        let mut jobs = Vec::new();
        for (tag, work) in &work {
            let place = stands.get(tag).map(|stands| stands.place.clone());
            let members: Vec<&Thing> = work.things.iter().collect();
            let mut notice = notice(tag, &members, self.now, self.shop.zone());
            if !work.new {
                notice.sound = None;
            }
            jobs.push(match place {
                Some(place) if members.is_empty() => Job::Close(place),
                replaces => Job::Show { notice: Box::new(notice.clone()), replaces },
            });
            notices.push(notice);
        }
        let outcomes = desktop.send(jobs);
        for (((tag, work), notice), outcome) in work.iter().zip(notices).zip(outcomes) {
            let (mark, stands) = match &outcome {
                Outcome::Sent(place) => {
                    let buttons = desktop.found().buttons && !notice.buttons().is_empty();
                    (Mark::Told, Some((tag.clone(), work.stands(place, self.now, buttons))))
                }
                Outcome::Done | Outcome::Failed(_) | Outcome::NotTried => (Mark::Pending, None),
                // It may have been shown, or may yet be: the lease runs before it is tried again.
                Outcome::NoAnswer => (Mark::Claimed, None),
            };
            self.store.mark(self.now, &work.claims, mark, &stands.into_iter().collect())?;
            // Where a command tells it, a desktop that isn't there is no news; it is tried again all the same.
            let lost = !matches!(outcome, Outcome::Sent(_));
            if work.new && !(lost && self.commands().any(|told| told.takes(notice.kind.word()))) {
                self.notices.push(Told { notice, by: None, outcome });
            }
        }
        Ok(())
    }

    /// The shop's own sound, once for all that is new, where the desktop makes none.
    fn sound(&mut self, desktop: &Desktop, claims: &[Claim]) -> Result<(), store::Error> {
        let claims: Vec<Claim> =
            claims.iter().filter(|claim| claim.channel == SOUND).cloned().collect();
        let loudest =
            self.things.iter().find(|thing| claims.iter().any(|claim| claim.thing == thing.key()));
        let (Some(setup), Some(thing)) = (&self.shop.setup, loudest) else { return Ok(()) };
        let heard = desktop.found().sounds || {
            let notice = notice(&tag_of(thing), &[thing], self.now, self.shop.zone());
            Commands::default().tell(&setup.remind.sound, &notice) == Outcome::Done
        };
        let mark = if heard { Mark::Told } else { Mark::Pending };
        self.store.mark(self.now, &claims, mark, &BTreeMap::new())
    }

    fn commands(&self) -> impl Iterator<Item = &setup::remind::Told> {
        self.shop.setup.iter().flat_map(|setup| &setup.remind.run)
    }

    /// By the shop's own commands: each what is new to it, a notice for a kind.
    fn hand_over(&mut self, claims: &[Claim]) -> Result<(), store::Error> {
        let shop = self.shop;
        let commands = shop.setup.iter().flat_map(|setup| &setup.remind.run);
        let mut time = Commands::default();
        for told in commands {
            let channel = command::channel(&told.command);
            let mut groups: BTreeMap<(Kind, bool), Vec<(&Thing, &Claim)>> = BTreeMap::new();
            for claim in claims.iter().filter(|claim| claim.channel == channel) {
                if let Some(thing) = self.things.iter().find(|thing| thing.key() == claim.thing) {
                    groups.entry((thing.kind, !thing.late)).or_default().push((thing, claim));
                }
            }
            for group in groups.values() {
                let things: Vec<&Thing> = group.iter().map(|(thing, _)| *thing).collect();
                let tag = things.first().map_or_else(String::new, |thing| tag_of(thing));
                let notice = notice(&tag, &things, self.now, self.shop.zone());
                let outcome = time.tell(&told.command, &notice);
                let mark = if outcome == Outcome::Done { Mark::Told } else { Mark::Pending };
                let claims: Vec<Claim> = group.iter().map(|(_, claim)| (*claim).clone()).collect();
                self.store.mark(self.now, &claims, mark, &BTreeMap::new())?;
                self.notices.push(Told { notice, by: told.command.first().cloned(), outcome });
            }
        }
        Ok(())
    }
}

/// Since when nothing has run though the operating system is to run it each minute; nothing where all is well.
pub(crate) fn silent_since(told: &Memory, now: Instant) -> Option<Instant> {
    let moment = |what| told.memos.get(what)?.parse::<Instant>().ok();
    let installed = moment(INSTALLED)?;
    let last = moment(store::SENT).map_or(installed, |sent| sent.max(installed));
    (SILENCE.after(last) < now).then_some(last)
}

pub(crate) struct PutOff {
    /// Until when; nothing is for good.
    pub(crate) until: Option<Instant>,
    pub(crate) things: Vec<Thing>,
    /// What can't be put off.
    pub(crate) kept: Vec<Thing>,
}

/// Puts off what is due of a lot, told or not, until a moment, or for good where there is none. Rags never are: only
/// recording how they were dealt with ends them. Nor is a wipe, beyond its latest start.
pub(crate) fn put_off(
    store: &mut Store,
    now: Instant,
    until: Option<Instant>,
    lot: &LotName,
) -> Result<PutOff, store::Error> {
    let told = store.told(now)?;
    let can_wait = |thing: &Thing| match thing.kind {
        Kind::Rags => false,
        Kind::Wipe => until.is_some() && thing.until.is_some_and(|latest| latest > now),
        _ => true,
    };
    let of_lot = |shop: &Shop| -> (Vec<Thing>, Vec<Thing>) {
        let things = due(shop, &told, now).into_iter();
        things.filter(|thing| thing.lot() == Some(lot)).partition(can_wait)
    };
    let shop = store.load(&store::Scope::Open)?.shop;
    let (things, kept) = of_lot(&shop);
    let latest = things.iter().filter(|thing| thing.kind == Kind::Wipe).filter_map(|t| t.until);
    let until = until.map(|until| latest.fold(until, Instant::min));
    let abouts: BTreeSet<&str> = things.iter().map(|thing| thing.about.as_str()).collect();
    store.put_off(
        now,
        until,
        |shop| due(shop, &told, now).iter().map(|thing| remembered(thing, Vec::new())).collect(),
        |wanted| abouts.contains(wanted.about.as_str()),
    )?;
    Ok(PutOff { until, things, kept })
}

fn remembered(thing: &Thing, channels: Vec<String>) -> Wanted {
    Wanted { thing: thing.key(), about: thing.about.clone(), channels }
}

/// What is to be told now, and what is to be done about notices that stand: fewer things in them, none, buttons that
/// somebody hears now, or a service that knows nothing of them.
fn wanted(shop: &Shop, told: &Memory, found: &Found, now: Instant) -> Vec<Wanted> {
    let things = due(shop, told, now);
    let remind = shop.setup.as_ref().map(|setup| &setup.remind);
    let meant = |thing: &Thing| {
        if !told_now(shop, thing, now) {
            return Vec::new();
        }
        let commands = remind.into_iter().flat_map(|remind| &remind.run);
        let takes = commands.filter(|told| told.takes(thing.kind.word()));
        let loud = thing.kind.sound().and(remind).is_some_and(|remind| !remind.sound.is_empty());
        let channels = takes.map(|told| command::channel(&told.command));
        let sound = loud.then(|| SOUND.to_owned());
        channels.chain(sound).chain([DESKTOP.to_owned()]).collect()
    };
    let mut wanted: Vec<Wanted> =
        things.iter().map(|thing| remembered(thing, meant(thing))).collect();
    for (tag, stands) in standing(told) {
        // What a run with a later clock has shown: this one may not see it yet.
        if now < stands.at && stands.at <= store::CLOCKS_DIFFER.after(now) {
            continue;
        }
        let left = things.iter().filter(|thing| stands.tells(thing, told)).count();
        let owner = &found.owner;
        let elsewhere = !owner.is_empty() && *owner != stands.place.owner;
        let what = match left {
            _ if elsewhere && !stands.stays => "gone",
            0 => "settled",
            left if left < stands.things.len() => "fewer",
            _ if elsewhere => "again",
            _ if found.buttons && stands.lacks_buttons() => "buttons",
            _ => continue,
        };
        let thing = format!("{what} {left} {tag} {} {owner}", stands.place.id);
        wanted.push(Wanted { about: thing.clone(), thing, channels: vec![DESKTOP.to_owned()] });
    }
    wanted
}

/// What there is to do about each notice, by its tag.
fn work(
    things: &[Thing],
    told: &Memory,
    stands: &BTreeMap<String, Stands>,
    claims: Vec<Claim>,
) -> BTreeMap<String, Work> {
    let mut work: BTreeMap<String, Work> = BTreeMap::new();
    let mut made: BTreeMap<(Kind, bool), String> = BTreeMap::new();
    for claim in claims {
        let Some(thing) = things.iter().find(|thing| thing.key() == claim.thing) else {
            // A notice that stands: "settled 0 TAG …".
            let mut words = claim.thing.split(' ');
            let (what, tag) = (words.next(), words.nth(1));
            if let (Some(what), Some(tag)) = (what, tag) {
                let work = work.entry(tag.to_owned()).or_default();
                work.new |= what == "again";
                work.claims.push(claim);
            }
            continue;
        };
        let before = stands.iter().find(|(_, stands)| stands.is_of(thing));
        let tag = before.map_or_else(
            || made.entry((thing.kind, thing.late)).or_insert_with(|| tag_of(thing)).clone(),
            |(tag, _)| tag.clone(),
        );
        let work = work.entry(tag).or_default();
        work.new = true;
        work.things.push(thing.clone());
        work.claims.push(claim);
    }
    for (tag, work) in &mut work {
        let Some(stands) = stands.get(tag) else { continue };
        let gone = work.claims.iter().any(|claim| claim.thing.starts_with("gone "));
        let still = things.iter().filter(|thing| !gone && stands.tells(thing, told));
        let new: BTreeSet<String> = work.things.iter().map(|thing| thing.about.clone()).collect();
        work.things.extend(still.filter(|thing| !new.contains(&thing.about)).cloned());
        work.things.sort_by(|a, b| (&a.who, &a.about).cmp(&(&b.who, &b.about)));
    }
    work
}

/// One for a lot and kind; of several lots the first one's.
fn tag_of(thing: &Thing) -> String {
    format!("tackfree-{}-{}", thing.kind.word(), thing.who)
}

impl Work {
    /// How the notice stands once the work is done, as it is stored; nothing where it is closed.
    fn stands(&self, place: &Place, at: Instant, buttons: bool) -> Option<String> {
        let first = self.things.first()?;
        let stands = Stands {
            place: place.clone(),
            at,
            kind: first.kind,
            stays: first.kind.stays(),
            things: self.things.iter().map(|thing| thing.about.clone()).collect(),
            who: self.things.iter().map(|thing| thing.who.clone()).collect(),
            buttons,
        };
        serde_json::to_string(&stands).ok()
    }
}

fn told_now(shop: &Shop, thing: &Thing, now: Instant) -> bool {
    told_from(shop, thing, now) == Some(now)
}
