//! A trace for a person: what can still be held back stands first.

use super::{Trace, TracedRoom};
use crate::report::{Page, Report, Tone};
use crate::shop::Count;
use crate::time::Stamp;

impl Report for Trace {
    fn text(&self, page: &mut Page) {
        let Self { can_be_held, held, away, .. } = self;
        let (here, about) = (Count(*can_be_held, "piece"), self.about.to_string());
        let head = format!("{about}: {here} to hold back, {held} held, {away} shipped");
        let mut letters = head.chars();
        let head: String =
            letters.next().into_iter().flat_map(char::to_uppercase).chain(letters).collect();
        page.toned(Tone::Strong, 0, 2, &head);
        let sections =
            [("Still here, not held", *can_be_held > 0, false), ("Held", *held > 0, true)];
        for (heading, any, held) in sections {
            if !any {
                continue;
            }
            page.heading(Tone::Plain, heading);
            for lot in self.lots.iter().filter(|lot| lot.pieces > 0 && lot.held.is_some() == held) {
                let why = lot.held.as_ref().map_or_else(String::new, |why| format!(": {why}"));
                page.item(format!("{}{why}", lot.here()));
                lot.text(page);
            }
        }
        if !self.shipments.is_empty() {
            page.heading(Tone::Plain, "Shipped");
            for sent in &self.shipments {
                page.item(sent.line());
            }
        }
        if self.lots.iter().any(|lot| lot.pieces == 0) {
            page.heading(Tone::Plain, "No longer here");
            for lot in self.lots.iter().filter(|lot| lot.pieces == 0) {
                page.item(lot.over());
                lot.text(page);
            }
        }
        if !self.cans.is_empty() {
            page.heading(Tone::Plain, "Cans");
            for can in &self.cans {
                page.item(can.line());
            }
        }
        if self.lots.is_empty() {
            page.say("Nothing is on record as coated from it.");
        }
        if *can_be_held > 0 {
            page.hang("Hold all of it: the same again with --hold");
        }
        if !self.recorded.is_empty() {
            let lots = Count(self.recorded.len() as u64, "lot");
            page.hang(format!("{lots} held now. Let all go on: tackfree undo"));
        }
    }
}

impl TracedRoom {
    pub(super) fn line(&self) -> String {
        let room = self.room.as_deref().unwrap_or("no known room");
        let until = self.until.as_ref().map_or_else(|| "now".to_owned(), Stamp::moment);
        let read = match (self.lowest_c, self.highest_c) {
            (Some(lowest), Some(highest)) => {
                let damp =
                    self.dampest_percent.map_or_else(String::new, |damp| format!(", up to {damp}"));
                format!(
                    "{}, {} to {highest}{damp}",
                    Count(self.readings as u64, "reading"),
                    lowest.bare()
                )
            }
            _ => "nobody read it".to_owned(),
        };
        format!("in {room} from {} to {until}: {read}", self.from.moment())
    }
}
