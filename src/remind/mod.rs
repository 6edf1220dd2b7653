//! Reminders: what a person is to be told, in which words, and the channels it goes out by.
//!
//! `due` finds what is to be told, `wording` makes notices of it, `desktop` shows them, `command` hands
//! them to a command of the shop's own; `timer` has the operating system
//! ask for it each minute; `coming`, `revised` and `calendar` write what is coming for any calendar program. Nothing
//! here asks the clock.

pub mod calendar;
pub mod coming;
pub(crate) mod command;
pub(crate) mod desktop;
pub mod due;
pub(crate) mod forecast;
pub mod notice;
pub(crate) mod revised;
pub(crate) mod send;
pub(crate) mod stands;
pub mod timer;
pub(crate) mod wording;

pub use notice::{Kind, Notice, Urgency};
