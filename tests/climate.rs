//! Rooms' readings through the program: by hand, from loggers' files, shown, proved, taken back.

mod bad;
mod clocks;
mod formats;
mod logs;
mod rooms;

pub(crate) use logs::{Log, stored};
