//! The demo's script, read.

use crate::time::{Instant, Zone, read_moment};

const SCRIPT: &str = include_str!("script.txt");

/// The zone of the demo's setup.
pub(super) const ZONE: Zone = Zone::Europe__Dublin;

/// What happens at one moment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Scene {
    pub(super) now: Instant,
    pub(super) lines: Vec<Line>,
}

/// One line of the script.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Line {
    /// Told to the reader.
    Say(String),
    /// Run unseen.
    Do(String),
    /// Run and shown.
    Show(String),
    /// Run and shown, and must be refused.
    Refuse(String),
}

/// The script, scene by scene; a line that is none of its kinds is left out, and a test says so.
pub(super) fn scenes() -> Vec<Scene> {
    let mut scenes: Vec<Scene> = Vec::new();
    for line in SCRIPT.lines().map(str::trim) {
        let Some((word, rest)) = line.split_once(' ') else { continue };
        let rest = rest.to_owned();
        let read = match word {
            "@" => {
                let moment = read_moment(&rest, Instant::MIN_UTC, ZONE);
                scenes.extend(moment.map(|now| Scene { now, lines: Vec::new() }));
                continue;
            }
            "say" => Line::Say(rest),
            "do" => Line::Do(rest),
            "show" => Line::Show(rest),
            "refuse" => Line::Refuse(rest),
            _ => continue,
        };
        if let Some(scene) = scenes.last_mut() {
            scene.lines.push(read);
        }
    }
    scenes
}

/// Words, with double quotes around those that hold blanks.
pub(super) fn split(command: &str) -> Vec<String> {
    let quoted = command.split('"').enumerate();
    let parts = quoted.flat_map(|(number, part)| {
        if number % 2 == 1 {
            vec![part.to_owned()]
        } else {
            part.split_whitespace().map(str::to_owned).collect()
        }
    });
    parts.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_of_the_script_is_read_and_time_goes_forward() {
        let told = SCRIPT.lines().filter(|line| !line.is_empty() && !line.starts_with('#'));
        let scenes = scenes();
        let read: usize = scenes.iter().map(|scene| 1 + scene.lines.len()).sum();
        assert_eq!(read, told.count());
        assert!(scenes.is_sorted_by(|a, b| a.now < b.now));
    }
}
