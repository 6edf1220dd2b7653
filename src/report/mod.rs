//! What a person or a program sees: each command builds one serialisable struct, and the text on the screen and the JSON
//! are both made from it, so that neither can say what the other does not.

pub(crate) mod air;
pub(crate) mod batch;
pub(crate) mod begin_here;
pub(crate) mod calendar;
pub(crate) mod can;
pub mod caution;
pub(crate) mod climate;
pub(crate) mod clock;
mod closed_window;
pub(crate) mod coating;
pub(crate) mod codes;
pub(crate) mod cure;
pub mod due;
pub mod faults;
pub(crate) mod finish_record;
pub(crate) mod grit;
mod instead;
pub mod kit;
pub(crate) mod large;
pub(crate) mod ledger;
mod lines;
pub(crate) mod lot;
pub(crate) mod origin;
pub(crate) mod pace;
pub(crate) mod page;
pub(crate) mod paper;
pub(crate) mod plan;
pub(crate) mod promise;
pub(crate) mod quote;
pub(crate) mod racks;
pub(crate) mod rags;
pub(crate) mod receipt;
pub(crate) mod refusal;
pub(crate) mod remind;
pub(crate) mod rooms;
pub(crate) mod schema;
pub(crate) mod setup;
pub(crate) mod shell;
pub(crate) mod ship;
pub(crate) mod spares;
pub(crate) mod stock;
pub mod today;
pub(crate) mod trace;
pub(crate) mod unread;
pub(crate) mod watch;

use schemars::JsonSchema;
use serde::Serialize;

pub use page::Page;
pub(crate) use page::{Columns, Tone, row};

/// A result that can be shown as text and as JSON.
pub trait Report: JsonSchema + Serialize {
    /// Writes it for a person.
    fn text(&self, page: &mut Page);
}
