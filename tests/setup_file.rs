//! The setup file: reading, faults, writing, changes.

mod any_text;
mod asked;
mod changed;
mod classes;
mod drawn;
mod faults;
mod keys;
mod syntax;
mod written;
