//! What a person or a program sees: each command builds one serialisable struct, and the text on the screen and the JSON
//! are both made from it, so that neither can say what the other does not.

pub mod air;
pub mod batch;
pub mod begin_here;
pub mod calendar;
pub mod can;
pub mod caution;
pub mod climate;
pub mod clock;
mod closed_window;
pub mod coating;
pub mod codes;
pub mod cure;
pub mod due;
pub mod faults;
pub mod finish_record;
pub mod grit;
mod instead;
pub mod kit;
pub mod large;
pub mod ledger;
pub mod lot;
pub mod origin;
pub mod pace;
pub mod page;
pub mod paper;
pub mod plan;
pub mod promise;
pub mod racks;
pub mod rags;
pub mod receipt;
pub mod refusal;
pub mod remind;
pub mod rooms;
pub mod setup;
pub mod ship;
pub mod spares;
pub mod today;
pub mod trace;
pub mod unread;
pub mod watch;

use serde::Serialize;

pub use page::Page;

/// A result that can be shown as text and as JSON.
pub trait Report: Serialize {
    /// Writes it for a person.
    fn text(&self, page: &mut Page);
}
