//! What a logger's file brought, as it is answered.

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::{Page, Report};
use crate::shop::Count;
use crate::shop::logger::{BadLine, Layout, Unit};
use crate::time::Stamp;

/// `climate import`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Imported {
    pub(crate) room: String,
    pub(crate) file: String,
    /// The entry; null where nothing was new.
    pub(crate) entry: Option<i64>,
    /// Readings in the file.
    pub(crate) readings: usize,
    /// Readings of moments that the room's log did not have.
    pub(crate) new: u32,
    /// Readings of moments for which the room's log says something else.
    pub(crate) differ: u32,
    /// The first of the file.
    pub(crate) first: Option<Stamp>,
    /// The last of the file.
    pub(crate) last: Option<Stamp>,
    /// Lines left out because they can't be read.
    pub(crate) bad_lines: usize,
    /// The first of them.
    pub(crate) bad: Vec<BadLine>,
    /// How the file was read.
    pub(crate) layout: Layout,
}

impl Report for Imported {
    fn text(&self, page: &mut Page) {
        let Self { room, file, new, .. } = self;
        let known = self.readings.saturating_sub(usize::try_from(*new).unwrap_or(usize::MAX));
        let all = Count(self.readings as u64, "reading");
        let said = match (self.entry, known) {
            (None, _) if self.readings == 0 => format!("{file} has no reading that can be read"),
            (None, _) => {
                format!("{file} adds nothing: {room} has a reading of every moment in it ({all})")
            }
            (Some(_), 0) => format!("{room}: {all} added from {file}"),
            (Some(_), _) => format!(
                "{room}: {} added from {file}; {known} were there already and are skipped",
                Count(*new, "reading")
            ),
        };
        page.hang(&said);
        if let (Some(first), Some(last)) = (&self.first, &self.last) {
            page.item(format!("from {} to {}", first.moment(), last.moment()));
        }
        if self.differ > 0 {
            let differ = Count(self.differ, "reading");
            page.item(format!(
                "! {differ} skipped: {room}'s log says otherwise of that moment, and is kept"
            ));
        }
        page.item(self.columns());
        if self.bad_lines > 0 {
            page.item(format!("left out: {}", Count(self.bad_lines as u64, "line")));
            bad_lines(&self.bad, self.bad_lines, 4, page);
        }
    }
}

impl Imported {
    fn columns(&self) -> String {
        let Layout { time, temp, humidity, surface, unit, unit_assumed, stamps, .. } = &self.layout;
        let time = time.join("\" and \"");
        let unit = match unit {
            Unit::Celsius => "°C",
            Unit::Fahrenheit => "°F",
        };
        let assumed = if *unit_assumed { ", assumed" } else { "" };
        let named = |what: &str, heading: &Option<String>| {
            heading.as_ref().map_or_else(String::new, |heading| format!(", {what} {heading:?}"))
        };
        format!(
            "read as: time \"{time}\" ({stamps}), temperature {temp:?} ({unit}{assumed}){}{}",
            named("humidity", humidity),
            named("surface", surface)
        )
    }
}

/// The lines that can't be read, and how many more there are.
pub(crate) fn bad_lines(bad: &[BadLine], all: usize, indent: usize, page: &mut Page) {
    for line in bad {
        page.hanging(indent, indent + 2, format!("line {}: {}", line.line, line.why));
    }
    let more = all.saturating_sub(bad.len());
    if more > 0 {
        page.hanging(indent, indent + 2, format!("and {} more", Count(more as u64, "line")));
    }
}
