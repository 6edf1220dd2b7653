//! The scheduling engine, against problems with known answers, brute force and its own promises.

mod brute;
mod checker;
mod faults;
mod known;
mod lots;
mod made;
mod properties;
