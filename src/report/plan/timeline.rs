//! Racks and hands over time, in plain signs that fit the terminal.

use chrono::{Datelike as _, Days, NaiveDate, Weekday};
use unicode_width::UnicodeWidthStr as _;

use crate::report::Page;
use crate::shop::Shop;
use crate::shop::plan::ShopPlan;
use crate::time::{Instant, Span, Zone, first_instant_of, local_date};

/// The longest name of a rack that is shown whole.
const LONGEST_NAME: usize = 14;

/// What a sign can stand for, in hours.
const SIGNS: [u32; 11] = [1, 2, 3, 6, 12, 24, 48, 96, 168, 336, 672];

/// A plan over racks and hands, ready to be laid out.
#[derive(Debug, Clone, Default)]
pub(super) struct Timeline {
    rows: Vec<Row>,
    open: Vec<Stretch>,
    zone: Zone,
    from: Instant,
    until: Instant,
}

/// What is taken of a rack, or of the hands.
#[derive(Debug, Clone)]
struct Row {
    name: String,
    capacity: u32,
    taken: Vec<(Stretch, u32)>,
    /// Whether it is there only in open hours.
    keeps_hours: bool,
}

/// From one moment until another.
type Stretch = (Instant, Instant);

impl Timeline {
    pub(super) fn new(shop: &Shop, plan: &ShopPlan) -> Self {
        let Some(setup) = &shop.setup else { return Self::default() };
        let steps = plan.steps.iter().map(|step| ((step.start, step.end), 1));
        let hands = Row {
            name: "hands".to_owned(),
            capacity: setup.shop.hands,
            taken: steps.collect(),
            keeps_hours: true,
        };
        let racks = setup.racks.iter().map(|rack| Row {
            name: rack.name.clone(),
            capacity: rack.slots,
            taken: plan
                .stays
                .iter()
                .filter(|stay| stay.rack == rack.name)
                .map(|stay| ((stay.from, stay.until), stay.pieces))
                .collect(),
            keeps_hours: false,
        });
        let until = plan.ready_at.max(Span::days(1).after(plan.now));
        Self {
            rows: std::iter::once(hands).chain(racks).collect(),
            open: setup.shop.hours.stretches(setup.shop.zone, plan.now, until),
            zone: setup.shop.zone,
            from: plan.now,
            until,
        }
    }

    /// A row each, the dates above.
    pub(super) fn text(&self, page: &mut Page) {
        let name = |row: &Row| row.name.chars().take(LONGEST_NAME).collect::<String>();
        let label = self.rows.iter().map(|row| name(row).width()).max().unwrap_or(0) + 2;
        let room = page.width().saturating_sub(label).max(8);
        let (hours, edges) = self.edges(room);
        page.verbatim(format!("{}{}", " ".repeat(label), self.dates(&edges)).trim_end());
        for row in &self.rows {
            let signs: String = edges
                .iter()
                .zip(edges.iter().skip(1))
                .map(|(from, until)| self.sign(row, (*from, *until)))
                .collect();
            let name = name(row);
            let gap = " ".repeat(label - name.width());
            page.verbatim(format!("{name}{gap}{signs}").trim_end());
        }
        let each = Span::seconds(i64::from(hours) * 3600);
        let legend = format!(
            "A sign is {each}: . free, - up to a third taken, = up to two thirds, # more, blank closed"
        );
        page.hang(&legend);
    }

    /// The finest signs that fit: how many hours each stands for, and the moments between them.
    fn edges(&self, room: usize) -> (u32, Vec<Instant>) {
        let mut last = (24, Vec::new());
        for hours in SIGNS {
            let edges = self.edges_of(hours);
            let fits = edges.len() <= room + 1;
            last = (hours, edges);
            if fits {
                return last;
            }
        }
        last.1.truncate(room + 1);
        last
    }

    /// From local midnight on, so that days begin with a sign of their own.
    fn edges_of(&self, hours: u32) -> Vec<Instant> {
        let today = local_date(self.from, self.zone);
        let mut edges = Vec::new();
        for count in 0..100_000_i64 {
            let edge = if hours < 24 {
                let span = Span::seconds(count * i64::from(hours) * 3600);
                span.after(first_instant_of(today, self.zone))
            } else {
                let days = u64::try_from(count).unwrap_or(0) * u64::from(hours / 24);
                let date = today.checked_add_days(Days::new(days)).unwrap_or(NaiveDate::MAX);
                first_instant_of(date, self.zone)
            };
            edges.push(edge);
            if edge >= self.until {
                break;
            }
        }
        // Signs that are over before the plan begins are left out.
        let before = edges.iter().take_while(|edge| **edge <= self.from).count();
        edges.split_off(before.saturating_sub(1))
    }

    /// Dates above the signs of their days, as many as fit: Mondays where a sign is a day or more.
    fn dates(&self, edges: &[Instant]) -> String {
        let mut line = String::new();
        let mut shown = None;
        let whole_days = matches!(edges, [a, b, ..] if Span::between(*a, *b).as_hours() >= 23.0);
        for (column, edge) in edges.iter().enumerate().take(edges.len().saturating_sub(1)) {
            let date = local_date(*edge, self.zone);
            let first = column == 0;
            let wanted = first || !whole_days || date.weekday() == Weekday::Mon;
            let text = date.format("%-d %b").to_string();
            let fits = column + text.width() < edges.len() && line.width() <= column;
            if wanted && fits && shown != Some(date) {
                line.push_str(&" ".repeat(column - line.width()));
                line.push_str(&text);
                line.push(' ');
                shown = Some(date);
            }
        }
        line
    }

    fn sign(&self, row: &Row, sign: Stretch) -> char {
        let there: i64 = if row.keeps_hours {
            self.open.iter().map(|open| overlap(*open, sign)).sum()
        } else {
            overlap(sign, sign)
        };
        let within = |stretch: Stretch| -> i64 {
            if !row.keeps_hours {
                return overlap(stretch, sign);
            }
            let clipped = |open: &Stretch| (open.0.max(stretch.0), open.1.min(stretch.1));
            self.open.iter().map(|open| overlap(clipped(open), sign)).sum()
        };
        let taken: i64 = row.taken.iter().map(|(at, units)| within(*at) * i64::from(*units)).sum();
        let whole = there.saturating_mul(i64::from(row.capacity));
        match taken.saturating_mul(3) {
            _ if there == 0 => ' ',
            0 => '.',
            thrice if thrice <= whole => '-',
            thrice if thrice <= whole.saturating_mul(2) => '=',
            _ => '#',
        }
    }
}

/// Seconds that two stretches share.
fn overlap(a: Stretch, b: Stretch) -> i64 {
    Span::between(a.0.max(b.0), a.1.min(b.1)).as_seconds()
}
