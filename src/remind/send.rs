//! One run of `remind send`: claim what is due, show it, mark what became of it.

use crate::remind::desktop::{Desktop, Outcome};
use crate::remind::due::{Thing, due, told_from};
use crate::remind::notice::Notice;
use crate::remind::wording::notices;
use crate::shop::Shop;
use crate::store::{self, Claim, Mark, Store, Wanted};
use crate::time::{Instant, Zone};

/// What one run did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Run {
    /// Each notice, and what became of it.
    pub notices: Vec<(Notice, Outcome)>,
    /// Things that wait for the shop to open.
    pub quiet: usize,
    /// When it opens, where something waits for it.
    pub opens: Option<Instant>,
    /// The shop's time zone.
    pub zone: Zone,
}

/// Tells what is due at `now` and not told yet. What can't be told stays pending for the next run.
pub fn send(store: &mut Store, desktop: &mut Desktop, now: Instant) -> Result<Run, store::Error> {
    let (loaded, claims) = store.claim(now, |shop| wanted(shop, now))?;
    let shop = loaded.shop;
    let things = due(&shop, now);
    let claimed: Vec<Thing> =
        things.iter().filter(|thing| claim_of(&claims, &thing.key).is_some()).cloned().collect();
    let told = notices(&claimed, now, shop.zone());
    let shown: Vec<Notice> = told.iter().map(|told| told.notice.clone()).collect();
    let outcomes = desktop.send(&shown);
    for (told, outcome) in told.iter().zip(&outcomes) {
        let mark = match outcome {
            Outcome::Sent => Mark::Told,
            Outcome::Failed(_) | Outcome::NotTried => Mark::Pending,
            // It may have been shown, or may yet be: the lease runs before it is tried again.
            Outcome::NoAnswer => continue,
        };
        let claims: Vec<Claim> =
            told.things.iter().filter_map(|key| claim_of(&claims, key)).cloned().collect();
        store.mark(now, &claims, mark)?;
    }
    let quiet: Vec<&Thing> = things.iter().filter(|thing| !told_now(&shop, thing, now)).collect();
    Ok(Run {
        notices: shown.into_iter().zip(outcomes).collect(),
        quiet: quiet.len(),
        opens: quiet.first().and_then(|thing| told_from(&shop, thing.kind, now)),
        zone: shop.zone(),
    })
}

/// Puts off what is due and meant, told or not, until a moment, or for good where there is none. Gives what was.
pub fn put_off(
    store: &mut Store,
    now: Instant,
    until: Option<Instant>,
    meant: impl Fn(&Thing) -> bool,
) -> Result<(Shop, Vec<Thing>), store::Error> {
    let (loaded, keys) = store.put_off(now, until, |shop| {
        let things = due(shop, now);
        let wanted =
            things.iter().map(|thing| Wanted { thing: thing.key.clone(), meant: meant(thing) });
        wanted.collect()
    })?;
    let things =
        due(&loaded.shop, now).into_iter().filter(|thing| keys.contains(&thing.key)).collect();
    Ok((loaded.shop, things))
}

fn wanted(shop: &Shop, now: Instant) -> Vec<Wanted> {
    let things = due(shop, now);
    let wanted = things
        .iter()
        .map(|thing| Wanted { thing: thing.key.clone(), meant: told_now(shop, thing, now) });
    wanted.collect()
}

fn told_now(shop: &Shop, thing: &Thing, now: Instant) -> bool {
    told_from(shop, thing.kind, now) == Some(now)
}

fn claim_of<'a>(claims: &'a [Claim], thing: &str) -> Option<&'a Claim> {
    claims.iter().find(|claim| claim.thing == thing)
}
