//! A setup as the text of a setup file, which reads back as the same setup.
//!
//! What a finish's class supplied is written as a comment: it was not in the file, and a class that learns better
//! supplies better.

use std::fmt::Write as _;

use chrono::Weekday;

use super::finish::Finish;
use super::piece::{Piece, Size};
use super::read::{HEATED, UNITS};
use super::read::{KEYS, Key};
use super::recipe::{Recipe, Rest, Step, StepWork};
use super::{Purpose, Rack, Remind, Room, Setup, Workshop};
use crate::time::Span;
use crate::time::hours::DAYS;
use crate::units::{Measured, Millimetres, System, Typed};

/// A key with its value as TOML.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Line {
    pub(super) key: &'static str,
    /// The value, in TOML.
    pub(super) value: String,
    /// How the value is marked, if it is not from the file but from the finish's class.
    pub(super) mark: Option<String>,
}

/// A line of the file itself.
fn line(key: &'static str, value: impl Into<String>) -> Line {
    Line { key, value: value.into(), mark: None }
}

/// The setup as a file.
pub fn to_toml(setup: &Setup) -> String {
    let mut text = String::new();
    let units = setup.shop.units;
    table(&mut text, "[shop]", &shop_lines(&setup.shop));
    table(&mut text, "[shop.hours]", &hours_lines(&setup.shop));
    for room in &setup.rooms {
        table(&mut text, "[[room]]", &room_lines(room, units));
    }
    for rack in &setup.racks {
        table(&mut text, "[[rack]]", &rack_lines(rack));
    }
    for finish in &setup.finishes {
        table(&mut text, "[[finish]]", &finish_lines(finish, units));
    }
    for piece in &setup.pieces {
        table(&mut text, "[[piece]]", &piece_lines(piece, units));
    }
    for recipe in &setup.recipes {
        table(&mut text, "[[recipe]]", &recipe_lines(recipe));
    }
    if !setup.remind.is_empty() {
        table(&mut text, "[remind]", &remind_lines(&setup.remind));
    }
    text
}

/// The lines of `[remind]`.
pub(super) fn remind_lines(remind: &Remind) -> Vec<Line> {
    let words = |words: &[String]| list(words.iter().map(|word| quoted(word)));
    let run = match &remind.run[..] {
        [] => None,
        [only] if only.kinds.is_empty() => Some(words(&only.command)),
        several => Some(list(several.iter().map(|told| {
            let kinds = match &told.kinds[..] {
                [] => String::new(),
                kinds => format!(", kinds = {}", words(kinds)),
            };
            format!("{{ command = {}{kinds} }}", words(&told.command))
        }))),
    };
    let sound = (!remind.sound.is_empty()).then(|| words(&remind.sound));
    let lines = [run.map(|run| line("run", run)), sound.map(|sound| line("sound", sound))];
    lines.into_iter().flatten().collect()
}

fn table(text: &mut String, header: &str, lines: &[Line]) {
    if !text.is_empty() {
        text.push('\n');
    }
    text.push_str(header);
    text.push('\n');
    for Line { key, value, mark } in lines {
        // Writing to a string cannot fail.
        let _ = match mark {
            None => writeln!(text, "{key} = {value}"),
            Some(mark) => writeln!(text, "# {key} = {value}  # from the kind: {}", plain(mark)),
        };
    }
}

pub(super) fn shop_lines(shop: &Workshop) -> Vec<Line> {
    let closed = shop.hours.closed().iter().map(|days| quoted(&days.to_string()));
    let mut lines = vec![
        line("name", quoted(&shop.name)),
        line("timezone", quoted(shop.zone.name())),
        line("hands", shop.hands.to_string()),
    ];
    let said = (shop.units != System::default()).then(|| quoted(word_of(&UNITS, &shop.units)));
    let texts = [
        ("maker", &shop.maker),
        ("address", &shop.address),
        ("country", &shop.country),
        ("backup", &shop.backup),
    ];
    lines.extend(said.map(|units| line("units", units)));
    lines.extend(
        texts.into_iter().filter_map(|(key, text)| Some(line(key, quoted(text.as_ref()?)))),
    );
    let costs = [("hour_rate", shop.hour_rate), ("strip_cost", shop.strip_cost)];
    lines.extend(costs.into_iter().filter_map(|(key, cost)| Some(line(key, number(cost?.get())))));
    lines.push(line("closed", list(closed)));
    lines
}

fn word_of<T: PartialEq>(words: &[(&'static str, T)], meant: &T) -> &'static str {
    words.iter().find(|(_, other)| other == meant).map_or("", |(word, _)| word)
}

/// The lines of a `[[room]]`.
pub(super) fn room_lines(room: &Room, units: System) -> Vec<Line> {
    let mut lines = vec![line("name", quoted(&room.name))];
    lines.extend(room.heated.map(|heated| line("heated", quoted(word_of(&HEATED, &heated)))));
    lines.extend(room.unread_temp.map(|temp| line("unread_temp", quantity(temp, units))));
    lines
}

/// The lines of `[shop.hours]`.
pub(super) fn hours_lines(shop: &Workshop) -> Vec<Line> {
    let week = [
        Weekday::Mon,
        Weekday::Tue,
        Weekday::Wed,
        Weekday::Thu,
        Weekday::Fri,
        Weekday::Sat,
        Weekday::Sun,
    ];
    let days = DAYS.into_iter().zip(week).map(|(name, day)| (name, shop.hours.on_weekday(day)));
    days.filter(|(_, stretches)| !stretches.is_empty())
        .map(|(name, stretches)| {
            line(name, list(stretches.iter().map(|stretch| quoted(&stretch.to_string()))))
        })
        .collect()
}

/// The lines of a `[[rack]]`.
pub(super) fn rack_lines(rack: &Rack) -> Vec<Line> {
    let uses = match rack.purpose {
        Purpose::Dry => "[\"dry\"]",
        Purpose::Cure => "[\"cure\"]",
        Purpose::DryAndCure => "[\"dry\", \"cure\"]",
    };
    vec![
        line("name", quoted(&rack.name)),
        line("room", quoted(&rack.room)),
        line("slots", rack.slots.to_string()),
        line("use", uses),
    ]
}

/// The lines of a `[[finish]]`, those its class supplied among them.
pub(super) fn finish_lines(finish: &Finish, units: System) -> Vec<Line> {
    let line = |key: &Key| {
        let mark = finish.from_class.get(key.name).cloned();
        Some(Line { key: key.name, value: key.toml(finish, units)?, mark })
    };
    KEYS.iter().filter_map(line).collect()
}

/// The lines of a `[[piece]]`.
pub(super) fn piece_lines(piece: &Piece, units: System) -> Vec<Line> {
    let mut lines = vec![line("name", quoted(&piece.name))];
    lines.extend(piece.wood.as_deref().map(|wood| line("wood", quoted(wood))));
    lines.push(line("pieces_per_blank", piece.pieces_per_blank.to_string()));
    lines.extend(piece.size.as_ref().map(|size| match size {
        Size::Area(area) => line("area_cm2", number(area.get())),
        Size::Profile(points) => {
            let points = points.iter().map(|[height, diameter]| {
                format!("[{}, {}]", length(*height, units), length(*diameter, units))
            });
            line("profile", list(points))
        }
    }));
    lines.extend(piece.blank_cost.map(|cost| line("blank_cost", number(cost.get()))));
    lines
}

/// The lines of a `[[recipe]]`.
pub(super) fn recipe_lines(recipe: &Recipe) -> Vec<Line> {
    let steps: String = recipe.steps.iter().fold(String::new(), |mut text, step| {
        let _ = writeln!(text, "  {},", step_text(step));
        text
    });
    vec![
        line("name", quoted(&recipe.name)),
        line("piece", quoted(&recipe.piece)),
        line("steps", format!("[\n{steps}]")),
    ]
}

/// A step in braces.
pub(super) fn step_text(step: &Step) -> String {
    let labour = |kind: &str, subject: &str, each: Span| {
        vec![format!("{kind} = {}", quoted(subject)), time("each", each)]
    };
    let strip_of = |strip: Option<u32>| strip.map(|pieces| format!("strip = {pieces}"));
    let mut parts = match &step.work {
        StepWork::Work { name, each } => labour("work", name, *each),
        StepWork::Raise { with, each } => labour("raise", with, *each),
        StepWork::Sand { grit, each, strip } => {
            let mut parts = labour("sand", grit, *each);
            parts.extend(strip_of(*strip));
            parts
        }
        StepWork::Rub { grit, each, strip } => {
            let mut parts = labour("rub", grit, *each);
            parts.extend(strip_of(*strip));
            parts
        }
        StepWork::Coat { finish, each, wipe } => {
            let mut parts = labour("coat", finish, *each);
            parts.extend((!wipe.is_zero()).then(|| time("wipe", *wipe)));
            parts
        }
        StepWork::Cure { finish } => vec![format!("cure = {}", quoted(finish))],
    };
    parts.extend(step.rest.map(|rest| match rest {
        Rest::AtLeast(span) => time("rest", span),
        Rest::Between(range) => format!("rest = {}", quoted(&range.typed())),
    }));
    format!("{{ {} }}", parts.join(", "))
}

fn time(key: &str, span: Span) -> String {
    format!("{key} = {}", quoted(&span.typed()))
}

pub(super) fn list(items: impl Iterator<Item = String>) -> String {
    format!("[{}]", items.collect::<Vec<_>>().join(", "))
}

/// A quantity; in a shop of other units with its unit, the shop's if it reads back as exactly the same.
pub(super) fn quantity<Q: Measured>(quantity: Q, units: System) -> String {
    let (own, shops) = (&Q::UNITS[0], Q::unit(units));
    let metric: f64 = quantity.into();
    if shops == own {
        return number(metric);
    }
    let rounded = (quantity.number_in(shops) * 1e4).round() / 1e4;
    let text = format!("{} {}", number(rounded), shops.symbol);
    let read = text.parse::<Typed<Q>>().and_then(|typed| typed.in_shop(units));
    let same = read.is_ok_and(|read| read.into().to_bits() == metric.to_bits());
    quoted(&if same { text } else { format!("{} {}", number(metric), own.symbol) })
}

fn length(millimetres: f64, units: System) -> String {
    Millimetres::new(millimetres).map_or_else(|_| number(millimetres), |own| quantity(own, units))
}

/// A number that reads back as exactly the same: the shortest that does, with an exponent where it is very large or small.
pub(super) fn number(value: f64) -> String {
    let text = format!("{value:?}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

/// Text as a TOML basic string.
pub(crate) fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' => quoted.push_str("\\\""),
            '\\' => quoted.push_str("\\\\"),
            letter if letter.is_control() => {
                let _ = write!(quoted, "\\u{:04X}", u32::from(letter));
            }
            letter => quoted.push(letter),
        }
    }
    quoted.push('"');
    quoted
}

/// A mark on one line of a comment.
fn plain(mark: &str) -> String {
    mark.chars().map(|letter| if letter.is_control() { ' ' } else { letter }).collect()
}
