//! What `remind watch` shows: the soak timers, and what comes next.

use unicode_width::{UnicodeWidthChar as _, UnicodeWidthStr as _};

use crate::shop::due::{Action, Item, Urgency};
use crate::shop::{LotName, Shop};
use crate::time::{Instant, Span, Viewpoint};

/// So many of the next things are shown.
const NEXT: usize = 8;

/// What is to be seen at one moment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct View {
    /// Coats that soak, the first to be wiped first.
    pub(crate) soaks: Vec<Soak>,
    /// What needs hands besides, the most pressing first.
    pub(crate) next: Vec<String>,
    pub(crate) first: Option<First>,
}

/// The first thing that needs hands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct First {
    pub(crate) lot: LotName,
    /// "coat 2 of 3, house oil".
    pub(crate) words: String,
    /// "from today 14:20"; "now" where it waits for hands alone.
    pub(crate) when: String,
}

/// One soak timer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Soak {
    pub(crate) lot: LotName,
    /// "salt-3 wipe house oil".
    pub(crate) title: String,
    /// "wipe from today 10:00, no later than today 10:10".
    pub(crate) window: String,
    pub(crate) stage: Stage,
    /// Seconds since it was begun, at most `whole`.
    pub(crate) gone: u64,
    /// Seconds from its beginning to the latest end of the wipe.
    pub(crate) whole: u64,
}

/// How far a soak is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Stage {
    /// It is wiped in so long.
    Soaks(Span),
    /// Wiping may begin, and must within so long.
    Now(Span),
    /// Begun in time it goes on until the last piece is off.
    Wiping(Span),
    /// The last piece should be off since then.
    Over(Span),
}

/// The longest bar, in columns.
const BAR: usize = 24;

/// A shorter one tells nothing and is left out.
const SHORTEST_BAR: usize = 6;

impl View {
    pub(crate) fn new(shop: &Shop, view: Viewpoint) -> Self {
        let others = shop.due(view.now).into_iter().filter(|item| item.action != Action::Wipe);
        let others: Vec<Item> = others.take(NEXT).collect();
        Self {
            soaks: Self::soaks(shop, view),
            next: others.iter().map(|item| next(item, view)).collect(),
            first: others.first().map(|item| First {
                lot: item.lot.clone(),
                words: item.words.clone(),
                when: when(item, view),
            }),
        }
    }

    /// The soak timers alone: of lots whose step is begun, so that a second costs no reckoning of all the others.
    pub(crate) fn soaks(shop: &Shop, view: Viewpoint) -> Vec<Soak> {
        let begun_wipes = shop.open_lots().filter(|lot| lot.begun.is_some()).filter_map(|lot| {
            let item = shop.next_item(lot, view.now);
            let groups = shop.groups_begun(lot).unwrap_or_default();
            let group = groups.iter().rev().find(|group| group.begins <= view.now);
            let off = group.map(|group| group.times.last_off_by).or(item.until);
            (item.action == Action::Wipe).then_some((item, lot.begun?, off))
        });
        let mut wipes: Vec<(Item, Instant, Option<Instant>)> = begun_wipes.collect();
        wipes.sort_by(|(a, ..), (b, ..)| (a.until, a.from, &a.lot).cmp(&(b.until, b.from, &b.lot)));
        wipes.iter().map(|(item, begun, off)| Soak::new(item, *begun, *off, view)).collect()
    }

    /// The same in plain lines that do not change while nothing happens, for a pipe or a file.
    pub(crate) fn lines(&self) -> Vec<String> {
        let soaks = self.soaks.iter().map(|soak| format!("{}: {}", soak.title, soak.window));
        soaks.chain(self.next.iter().cloned()).collect()
    }
}

/// "salt-1 coat 2 of 3, house oil: from today 14:20, no later than tomorrow 14:20".
fn next(item: &Item, view: Viewpoint) -> String {
    let moment = |at| view.stamp(at).moment();
    let from = match (item.from, item.urgency) {
        (Some(from), Urgency::Ready | Urgency::Overdue) => format!("since {}", moment(from)),
        _ => when(item, view),
    };
    let until =
        item.until.map_or_else(String::new, |until| format!(", no later than {}", moment(until)));
    format!("{} {}: {from}{until}", item.lot, item.words)
}

fn when(item: &Item, view: Viewpoint) -> String {
    match (item.from, item.urgency) {
        (None, _) => "not while the room stays as cold or damp as it is".to_owned(),
        (Some(from), Urgency::Next) => {
            let moved =
                item.once_on.as_ref().map_or_else(String::new, |rack| format!(", once on {rack}"));
            format!("from {}{moved}", view.stamp(from).minute_up().moment())
        }
        (Some(_), _) => "now".to_owned(),
    }
}

impl Stage {
    /// "4 m 20 s to the wipe".
    fn words(self) -> String {
        match self {
            Self::Soaks(left) => format!("{left} to the wipe"),
            Self::Now(left) => format!("WIPE NOW, {left} left"),
            Self::Wiping(left) => format!("wiping, last off in {left}"),
            Self::Over(past) => format!("WIPE, over for {past}"),
        }
    }
}

impl Soak {
    /// Whether it is to be wiped now.
    pub(crate) const fn due(&self) -> bool {
        !matches!(self.stage, Stage::Soaks(_))
    }

    /// The timers as lines of at most `width` columns, their bars one under the other.
    pub(crate) fn drawn(soaks: &[Self], width: usize) -> Vec<String> {
        let longest = |of: &dyn Fn(&Self) -> usize| soaks.iter().map(of).max().unwrap_or(0);
        let left = longest(&|soak| soak.stage.words().width());
        let title = longest(&|soak| soak.title.width()).min(width.saturating_sub(left + 2));
        let bar = width.saturating_sub(title + left + 6).min(BAR);
        let line = |soak: &Self| {
            let name = cut(&soak.title, title);
            let gap = " ".repeat(title.saturating_sub(name.width()));
            let bar = if bar < SHORTEST_BAR { String::new() } else { soak.bar(bar) };
            cut(&format!("{name}{gap}  {bar}{}", soak.stage.words()), width)
        };
        soaks.iter().map(line).collect()
    }

    fn bar(&self, columns: usize) -> String {
        let gone = usize::try_from(self.gone).unwrap_or(0).saturating_mul(columns)
            / usize::try_from(self.whole).unwrap_or(1).max(1);
        let gone = gone.min(columns);
        let tip = if gone < columns { ">" } else { "" };
        let rest = columns.saturating_sub(gone).saturating_sub(tip.len());
        format!("[{}{tip}{}]  ", "=".repeat(gone), " ".repeat(rest))
    }

    fn new(item: &Item, begun: Instant, off: Option<Instant>, view: Viewpoint) -> Self {
        // A soak's own times are always known.
        let now = view.now;
        let from = item.from.unwrap_or(begun);
        let until = item.until.unwrap_or(from);
        let seconds = |from, to| Span::between(from, to).as_seconds().unsigned_abs();
        let stage = match off {
            _ if now < from => Stage::Soaks(Span::between(now, from)),
            _ if now <= until => Stage::Now(Span::between(now, until)),
            Some(off) if now <= off => Stage::Wiping(Span::between(now, off)),
            off => Stage::Over(Span::between(off.unwrap_or(until), now)),
        };
        let whole = seconds(begun, until).max(1);
        Self {
            lot: item.lot.clone(),
            title: format!("{} {}", item.lot, item.words),
            window: format!(
                "wipe from {}, begin no later than {}",
                view.stamp(from).moment(),
                view.stamp(until).moment()
            ),
            stage,
            gone: seconds(begun, now).min(whole),
            whole,
        }
    }
}

/// The text in no more than `width` columns.
pub(crate) fn cut(text: &str, width: usize) -> String {
    if text.width() <= width {
        return text.to_owned();
    }
    let mut cut = String::new();
    for sign in text.chars() {
        if cut.width() + sign.width().unwrap_or(0) + 1 > width {
            break;
        }
        cut.push(sign);
    }
    if width > 0 {
        cut.push('…');
    }
    cut
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bars_stand_one_under_the_other_and_no_line_is_too_wide() {
        let soak = |title: &str, stage| Soak {
            lot: "salt-1".parse().unwrap(),
            title: title.to_owned(),
            window: String::new(),
            stage,
            gone: 40,
            whole: 100,
        };
        let soaks = [
            soak("salt-1 wipe house oil", Stage::Soaks(Span::seconds(254))),
            soak("a-very-long-order-12 wipe hard wax oil", Stage::Now(Span::seconds(59))),
        ];
        for width in 30..=140 {
            let lines = Soak::drawn(&soaks, width);
            assert!(lines.iter().all(|line| line.width() <= width), "{width}: {lines:?}");
            let bars: Vec<_> = lines.iter().map(|line| line.find('[')).collect();
            let columns = |line: &String| line.split('[').next().unwrap().width();
            assert!(bars[0].is_some() == bars[1].is_some(), "{width}: {lines:?}");
            assert!(bars[0].is_none() || columns(&lines[0]) == columns(&lines[1]), "{width}");
            assert!(width < 80 || bars[0].is_some(), "{width}: {lines:?}");
        }
    }
}
