//! The setup file to begin with.

/// A setup file with an example of everything and a word on each key, which reads without a fault.
pub const fn starting_file() -> &'static str {
    include_str!("starting.toml")
}
