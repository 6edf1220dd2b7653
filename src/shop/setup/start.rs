//! The setup file to begin with.

use std::sync::LazyLock;

use super::read::{KEYS, Key};

/// Where the finish's keys go.
const FINISH: &str = "@finish\n";
/// Written as a comment: few sheets name it.
const SELDOM: &str = "lower_flammable";

/// A setup file with an example of everything and a word on each key, which reads without a fault.
pub fn starting_file() -> &'static str {
    static FILE: LazyLock<String> =
        LazyLock::new(|| include_str!("starting.toml").replace(FINISH, &finish_keys()));
    &FILE
}

/// Every key of a finish with its example and what it says.
pub(crate) fn finish_keys() -> String {
    let line = |key: &Key| {
        let Key { name, example, about, .. } = key;
        let sign = if *name == SELDOM { "# " } else { "" };
        format!("{:<37} # {about}\n", format!("{sign}{name} = {example}"))
    };
    KEYS.iter().map(line).collect()
}
