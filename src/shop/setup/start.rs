//! The setup file to begin with.

use std::sync::LazyLock;

use super::Finish;
use super::read::{KEYS, Key};

/// Where the finish's keys go.
const FINISH: &str = "@finish\n";
/// Written as comments: few sheets name the first, and no sheet names the second.
const SELDOM: [&str; 2] = ["lower_flammable", "litre_cost"];

/// A setup file with an example of everything and a word on each key, which reads without a fault.
pub fn starting_file() -> &'static str {
    static FILE: LazyLock<String> =
        LazyLock::new(|| include_str!("starting.toml").replace(FINISH, &finish_keys()));
    &FILE
}

/// Every key of a finish with its example and what it says.
pub(crate) fn finish_keys() -> String {
    let line = |key: &Key<Finish>| {
        let Key { name, example, about, .. } = key;
        let sign = if SELDOM.contains(name) { "# " } else { "" };
        format!("{:<37} # {about}\n", format!("{sign}{name} = {example}"))
    };
    KEYS.iter().map(line).collect()
}
