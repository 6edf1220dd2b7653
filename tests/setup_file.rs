//! The setup file: reading, faults, writing, changes.

mod faults;
