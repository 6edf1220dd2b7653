//! The calendar as it was written.

use schemars::JsonSchema;
use serde::Serialize;

use crate::remind::calendar::Event;
use crate::report::{Page, Report};
use crate::shop::Count;
use crate::time::{Stamp, Viewpoint};

/// `calendar`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Written {
    /// The file, unless it is standard output.
    pub(crate) file: Option<String>,
    pub(crate) events: Vec<WrittenEvent>,
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct WrittenEvent {
    /// Stays the same while the thing stays the same.
    pub(crate) uid: String,
    /// The lot and the step, or what else it is of: "salt-1/6", "salt-1/move/loft", "promised/salt".
    pub(crate) of: String,
    /// Grows each time the event is another than before.
    pub(crate) sequence: u32,
    /// One line.
    pub(crate) summary: String,
    pub(crate) start: Stamp,
    pub(crate) end: Stamp,
    /// Whether it will not be after all.
    pub(crate) cancelled: bool,
}

impl Written {
    pub(crate) fn new(file: Option<String>, events: &[Event], view: Viewpoint) -> Self {
        let events = events.iter().map(|event| WrittenEvent {
            uid: event.uid.clone(),
            of: event.of.clone(),
            sequence: event.sequence,
            summary: event.summary.clone(),
            start: view.stamp(event.start),
            end: view.stamp(event.end),
            cancelled: event.cancelled,
        });
        Self { file, events: events.collect() }
    }
}

impl Report for Written {
    fn text(&self, page: &mut Page) {
        let cancelled = self.events.iter().filter(|event| event.cancelled).count();
        let events = Count(self.events.len() as u64, "event");
        let gone =
            if cancelled > 0 { format!(", {cancelled} of them cancelled") } else { String::new() };
        let file = self.file.as_deref().unwrap_or("standard output");
        page.say(format!("{file}: {events}{gone}"));
    }
}
