//! Reminders: the timer's files, the calendar, and notices on a real desktop.

mod calendar;
mod timer;
