//! What `remind watch` shows: the soak timers, and what comes next.

use crate::shop::Shop;
use crate::shop::due::{Action, Item, Urgency};
use crate::time::Viewpoint;
use crate::time::{Instant, Span};

/// So many of the next things are shown.
const NEXT: usize = 8;

/// What is to be seen at one moment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct View {
    /// Coats that soak, the first to be wiped first.
    pub soaks: Vec<Soak>,
    /// What needs hands besides, the most pressing first.
    pub next: Vec<String>,
}

/// One soak timer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Soak {
    /// "salt-3 wipe house oil".
    pub title: String,
    /// "wipe from today 10:00, no later than today 10:10".
    pub window: String,
    /// "4 m 20 s to the wipe".
    pub left: String,
    /// Seconds since it was begun, at most `whole`.
    pub gone: u64,
    /// Seconds from its beginning to the latest end of the wipe.
    pub whole: u64,
}

impl View {
    pub fn new(shop: &Shop, view: Viewpoint) -> Self {
        let begun_wipes = shop.open_lots().filter_map(|lot| {
            let item = shop.next_item(lot, view.now);
            (item.action == Action::Wipe).then_some((item, lot.begun?))
        });
        let mut wipes: Vec<(Item, Instant)> = begun_wipes.collect();
        wipes.sort_by(|(a, _), (b, _)| (a.until, a.from, &a.lot).cmp(&(b.until, b.from, &b.lot)));
        let others = shop.due(view.now).into_iter().filter(|item| item.action != Action::Wipe);
        let next = others.take(NEXT).map(|item| {
            let moment = |at| view.stamp(at).moment();
            let from = match (item.from, item.urgency) {
                (None, _) => "not while the room stays as cold or damp as it is".to_owned(),
                (Some(from), Urgency::Next) => format!("from {}", moment(from)),
                (Some(from), _) => format!("since {}", moment(from)),
            };
            let until = item
                .until
                .map_or_else(String::new, |until| format!(", no later than {}", moment(until)));
            format!("{} {}: {from}{until}", item.lot, item.name)
        });
        Self {
            soaks: wipes.iter().map(|(item, begun)| Soak::new(item, *begun, view)).collect(),
            next: next.collect(),
        }
    }

    /// The same in plain lines that do not change while nothing happens, for a pipe or a file.
    pub fn lines(&self) -> Vec<String> {
        let soaks = self.soaks.iter().map(|soak| format!("{}: {}", soak.title, soak.window));
        soaks.chain(self.next.iter().cloned()).collect()
    }
}

impl Soak {
    fn new(item: &Item, begun: Instant, view: Viewpoint) -> Self {
        // A soak's own times are always known.
        let now = view.now;
        let from = item.from.unwrap_or(begun);
        let until = item.until.unwrap_or(from);
        let seconds = |from, to| Span::between(from, to).as_seconds().unsigned_abs();
        let left = if now < from {
            format!("{} to the wipe", Span::between(now, from))
        } else if now <= until {
            format!("WIPE NOW, {} left", Span::between(now, until))
        } else {
            format!("{} past the latest start: WIPE", Span::between(until, now))
        };
        let whole = seconds(begun, until).max(1);
        Self {
            title: format!("{} {}", item.lot, item.name),
            window: format!(
                "wipe from {}, begin no later than {}",
                view.stamp(from).moment(),
                view.stamp(until).moment()
            ),
            left,
            gone: seconds(begun, now).min(whole),
            whole,
        }
    }
}
