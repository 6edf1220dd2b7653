//! Reminders: the timer's files, the calendar, and notices on a real desktop.

mod buttons;
mod calendar;
mod claims;
mod closed_window;
mod command;
mod commands;
mod desk;
mod desktop;
mod due;
mod large;
mod scan;
mod shop;
mod stands;
mod timer;
