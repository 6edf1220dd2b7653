//! Reminders: what a person is to be told, in which words, and the channels it goes out by.
//!
//! `due` finds what is to be told, `wording` makes notices of it, `desktop` shows them, `command` hands
//! them to a command of the shop's own; `timer` has the operating system
//! ask for it each minute; `coming` and `calendar` write what is coming for any calendar program. Nothing here asks the
//! clock.

pub mod calendar;
pub mod coming;
pub mod command;
pub mod desktop;
pub mod due;
pub mod forecast;
pub mod notice;
pub mod send;
pub mod stands;
pub mod timer;
pub mod wording;

pub use notice::{Kind, Notice, Urgency};
