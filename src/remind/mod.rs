//! Reminders: the notices themselves and the channels they go out by.
//!
//! A notice is plain data; `desktop` shows it, `timer` has the operating system ask for what is due, `calendar` writes
//! what is coming for any calendar program. Nothing here asks the clock.

pub mod calendar;
pub mod desktop;
pub mod notice;
pub mod timer;

pub use notice::{Kind, Notice, Urgency};
