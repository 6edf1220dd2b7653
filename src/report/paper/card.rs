//! `card`: what hangs on the rack with a lot. Read at two metres, ticked off by hand, scanned at the bench.

use maud::{Markup, html};
use schemars::JsonSchema;
use serde::Serialize;

use super::{Paper, ems, page, qr, typed};
use crate::reference;
use crate::report::lot::LotLine;
use crate::report::{Page, Report, Tone};
use crate::shop::setup::recipe::{CoatNumber, Rest};
use crate::shop::{Count, Lot, Shop};
use crate::time::{Stamp, Viewpoint};

const RULES: [&str; 2] = [include_str!("paper.css"), include_str!("card.css")];

/// Letters that stand beside each other in the list of steps, and lines of it that a card holds.
const LETTERS: usize = 50;
const LINES: usize = 12;

/// `card`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Cards {
    pub(crate) paper: Paper,
    /// Cards on a sheet.
    pub(crate) per_sheet: usize,
    /// Where they were written.
    pub(crate) file: Option<String>,
    pub(crate) cards: Vec<Card>,
}

/// One lot's card.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Card {
    pub(crate) lot: String,
    #[serde(rename = "for")]
    pub(crate) customer: Option<String>,
    pub(crate) piece: String,
    pub(crate) pieces: u32,
    pub(crate) rack: Option<String>,
    pub(crate) recipe: String,
    pub(crate) revision: u32,
    /// What the QR code says.
    pub(crate) code: String,
    /// Why it is held.
    pub(crate) held: Option<String>,
    /// Whether something was recorded against the rules.
    pub(crate) flagged: bool,
    pub(crate) steps: Vec<CardStep>,
    /// What to do with the rags; nothing where the setup says of every finish that they don't heat.
    pub(crate) rags: &'static [String],
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct CardStep {
    /// From 1.
    pub(crate) step: u32,
    pub(crate) name: String,
    #[serde(skip)]
    is_cure: bool,
    #[serde(flatten)]
    pub(crate) coat: Option<CoatNumber>,
    #[serde(skip)]
    words: String,
    /// done, next or to come.
    pub(crate) state: &'static str,
    /// When it was done; of one done before the lot was recorded nobody knows.
    pub(crate) done: Option<Stamp>,
    /// When the next may be begun.
    pub(crate) from: Option<Stamp>,
    /// By when the next must be.
    pub(crate) until: Option<Stamp>,
    /// When the kept plan has it.
    pub(crate) planned: Option<Stamp>,
    /// How long after which step.
    pub(crate) rest: Option<String>,
}

impl Cards {
    pub(crate) fn new<'a>(
        shop: &Shop,
        lots: impl IntoIterator<Item = &'a Lot>,
        (paper, per_sheet): (Paper, usize),
        view: Viewpoint,
    ) -> Self {
        let cards = lots.into_iter().map(|lot| Card::new(shop, lot, view)).collect();
        Self { paper, per_sheet, file: None, cards }
    }

    pub(crate) fn html(&self) -> String {
        let faces: Vec<Markup> = self.cards.iter().flat_map(|card| card.faces(LINES)).collect();
        let (wide, tall) = self.paper.size();
        let four = self.per_sheet > 1;
        let card = if four { tall / 2.0 } else { Paper::A6.size().1 };
        // A hair less than the sheet, so that rounding makes no empty page.
        let sizes = format!(
            "@page{{size:{wide}mm {tall}mm;margin:0}}.sheet{{width:{wide}mm;height:{}mm;--tall:{}mm}}",
            tall - 0.2,
            card - 0.1
        );
        let body = html! {
            main {
                @for sheet in faces.chunks(self.per_sheet.max(1)) {
                    div.sheet.cards.four[four] { @for face in sheet { (face) } }
                }
            }
        };
        let names: Vec<&str> = self.cards.iter().map(|card| card.lot.as_str()).collect();
        let title = format!("Rack cards: {}", names.join(", "));
        page(&title, &[RULES[0], RULES[1], &sizes], None, &body)
    }
}

impl Card {
    fn new(shop: &Shop, lot: &Lot, view: Viewpoint) -> Self {
        let line = LotLine::new(shop, lot, view);
        let setup = shop.setup.as_ref();
        let finishes = lot.recipe.steps.iter().filter_map(|step| step.coat());
        let heats = |name| {
            let finish = setup.and_then(|setup| setup.finish(name));
            finish.and_then(|finish| finish.self_heating) != Some(false)
        };
        let any = finishes.clone().any(heats);
        Self {
            code: qr::payload(&line.lot),
            customer: shop.batches.get(&lot.name.batch).and_then(|batch| batch.customer.clone()),
            piece: lot.recipe.piece.clone(),
            pieces: lot.pieces,
            recipe: lot.recipe.name.clone(),
            revision: lot.revision,
            held: lot.held.as_ref().map(|held| held.why.clone()),
            flagged: !lot.flags.is_empty(),
            steps: steps(shop, lot, &line, view),
            rags: if any { reference::short("rags") } else { &[] },
            rack: line.rack,
            lot: line.lot,
        }
    }

    /// The class and the height in millimetres that the lot's name is written in.
    fn name_size(&self) -> (&'static str, f64) {
        match self.lot.chars().count() {
            0..=7 => ("lot s0", 14.0),
            8..=11 => ("lot s1", 10.0),
            12..=22 => ("lot s2", 7.0),
            _ => ("lot s3", 5.0),
        }
    }

    /// How many lines of steps long names above them leave no room for.
    fn crowded_out(&self) -> usize {
        let lines = |text: &str, size: f64, room: f64| (ems(text) * size / room).ceil().max(1.0);
        let (_, size) = self.name_size();
        // Beside the code there are 67 mm, below it 93; bold letters are wider.
        let pieces = format!("{} pieces on {}", self.pieces, self.rack.as_deref().unwrap_or(""));
        let head = lines(&self.lot, size * 1.12, 67.0) * size * 1.02
            + lines(&pieces, 5.2 * 1.12, 67.0) * 5.72;
        let customer = self.customer.as_deref().unwrap_or_default();
        let what = format!(
            "{}, for {customer}. Recipe: {}, revision 10. Card 1 of 2",
            self.piece, self.recipe
        );
        let what = lines(&what, 3.2, 93.0) * 4.0;
        let next = self.steps.iter().find(|step| step.state == "next");
        let now = self.held.as_ref().map(|why| lines(why, 5.0 * 1.12, 80.0) * 5.75);
        let now = now.or_else(|| {
            let next = next?;
            Some(
                lines(&next.words, 5.0 * 1.12, 93.0) * 5.75 + lines(&next.when(), 4.2, 93.0) * 4.83,
            )
        });
        let flagged = if self.flagged { 8.0 } else { 0.0 };
        let over = (head - 23.0).max(0.0)
            + (what - 8.0).max(0.0)
            + (now.unwrap_or_default() - 10.6).max(0.0)
            + flagged;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a few lines of 4.5 mm, never fewer than none"
        )]
        let lines = (over / 4.5).ceil() as usize;
        lines
    }

    /// A card for as many of its steps as one holds, and further ones for the rest.
    fn faces(&self, most: usize) -> Vec<Markup> {
        let most = most.saturating_sub(self.crowded_out()).max(3);
        let mut parts: Vec<Vec<&CardStep>> = vec![Vec::new()];
        let mut lines = 0;
        for step in &self.steps {
            let needs = step.lines();
            if lines + needs > most && lines > 0 {
                parts.push(Vec::new());
                lines = 0;
            }
            lines += needs;
            if let Some(part) = parts.last_mut() {
                part.push(step);
            }
        }
        let of = parts.len();
        (1..).zip(parts).map(|(number, part)| self.face(&part, number, of)).collect()
    }

    fn face(&self, steps: &[&CardStep], number: usize, of: usize) -> Markup {
        let (size, _) = self.name_size();
        let next = self.steps.iter().find(|step| step.state == "next");
        html! {
            article.card {
                div.head {
                    div {
                        h2 class=(size) { (typed(&self.lot)) }
                        p.pieces {
                            (Count(self.pieces, "piece"))
                            @if let Some(rack) = &self.rack { " on " (typed(rack)) }
                        }
                    }
                    @if let Some(code) = qr::code(&self.code) { (code) }
                }
                p.what {
                    (typed(&self.piece))
                    @if let Some(customer) = &self.customer { ", for " (typed(customer)) }
                    ". Recipe: " (typed(&self.recipe)) ", revision\u{a0}" (self.revision)
                    @if of > 1 { ". " b { "Card " (number) " of " (of) } }
                }
                @if let Some(why) = &self.held {
                    p.now { "HELD: " (typed(why)) }
                } @else if let Some(next) = next {
                    p.now { (typed(&next.words)) small { (next.when()) } }
                } @else {
                    p.now { "Every step is done" }
                }
                @if self.flagged { p.what { b { "Recorded against the rules: see tackfree lot show " (typed(&self.lot)) } } }
                ol.steps {
                    @for step in steps {
                        li.next[step.state == "next"] {
                            span.box { @if step.state == "done" { "✓" } }
                            b { (step.step) ". " (typed(&step.words)) }
                            span.when { (step.when()) }
                        }
                    }
                }
                @if !self.rags.is_empty() {
                    div.rags { @for (number, line) in self.rags.iter().enumerate() {
                        p { @if number == 0 { b { (line) } } @else { (line) } }
                    } }
                }
            }
        }
    }
}

fn steps(shop: &Shop, lot: &Lot, line: &LotLine, view: Viewpoint) -> Vec<CardStep> {
    let next = lot.next_step().map(|(number, _)| number);
    let planned = |step| {
        let kept = shop.kept.as_ref()?;
        let name = lot.name.to_string();
        let steps = kept.steps.iter();
        let start = steps.filter(|planned| planned.lot == name && planned.step == step);
        start.map(|planned| planned.start).min().map(|start| view.stamp(start))
    };
    let of = |number, step: &crate::shop::setup::Step| {
        let done = lot.done.iter().rev().find(|done| done.step == number && number < lot.next);
        let is_next = next == Some(number);
        let over = number < lot.next;
        CardStep {
            step: number,
            is_cure: step.is_cure(),
            name: step.name(),
            coat: lot.recipe.coat_number(number),
            words: lot.recipe.words(number),
            state: if over {
                "done"
            } else if is_next {
                "next"
            } else {
                "to come"
            },
            done: done.filter(|done| done.recorded).map(|done| view.stamp(done.ended)),
            from: line.ready_at.filter(|_| is_next),
            until: line.until.filter(|_| is_next),
            planned: if over { None } else { planned(number) },
            rest: rest_before(shop, lot, number).filter(|_| !over && !is_next),
        }
    };
    lot.recipe.numbered().map(|(number, step)| of(number, step)).collect()
}

/// The wait before a step, as the sheet or the recipe asks for it.
fn rest_before(shop: &Shop, lot: &Lot, number: u32) -> Option<String> {
    let setup = shop.setup.as_ref()?;
    let step = lot.recipe.step(number)?;
    if step.is_cure() {
        let coat = lot.recipe.step(lot.recipe.last_coat()?)?.coat()?;
        return Some(format!("{} after the last coat", setup.finish(coat)?.cure));
    }
    let before = lot.recipe.step(number.checked_sub(1)?)?;
    if let Some(finish) = before.coat().and_then(|coat| setup.finish(coat)) {
        return Some(match finish.recoat.longest() {
            Some(longest) => {
                format!("{} to {longest} after step {}", finish.recoat.min, number - 1)
            }
            None => format!("{} or more after step {}", finish.recoat.min, number - 1),
        });
    }
    match before.rest? {
        Rest::AtLeast(span) => Some(format!("{span} or more after step {}", number - 1)),
        Rest::Between(range) => {
            Some(format!("{} to {} after step {}", range.min, range.max, number - 1))
        }
    }
}

impl CardStep {
    /// When it was, or may be, done.
    fn when(&self) -> String {
        let date = |stamp: &Stamp| format!("{} {}", stamp.day().format("%a %-d %b"), stamp.clock());
        match (self.state, &self.done, &self.from, &self.until) {
            ("done", Some(done), ..) => date(done),
            ("done", ..) if self.is_cure => "its time is reached".to_owned(),
            ("done", ..) => "not recorded".to_owned(),
            (_, _, Some(from), Some(until)) if until.at() < from.at() => {
                format!("from {}; its window may close before, {}", date(from), date(until))
            }
            (_, _, Some(from), Some(until)) => format!("from {} until {}", date(from), date(until)),
            (_, _, Some(from), None) => format!("from {}", date(from)),
            ("next", ..) => "not while the room stays as it is".to_owned(),
            _ => {
                let planned = self.planned.as_ref().map(|at| format!("planned {}", date(at)));
                planned.or_else(|| self.rest.clone()).unwrap_or_default()
            }
        }
    }

    fn lines(&self) -> usize {
        let letters = |text: &str| text.chars().count();
        let (words, when) = (letters(&self.words).saturating_add(4), letters(&self.when()));
        if words.saturating_add(when) <= LETTERS {
            return 1;
        }
        words.max(when).div_ceil(LETTERS / 2)
    }
}

impl Report for Cards {
    fn text(&self, page: &mut Page) {
        let cards = Count(self.cards.len() as u64, "card");
        let place = self.file.as_deref().unwrap_or("the screen");
        page.toned(Tone::Plain, 0, 2, &format!("Wrote {cards} to {place}."));
    }
}
