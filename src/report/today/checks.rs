//! The line of a touch test, or of a room to read, that comes before a step.

use crate::report::refusal::quoted;
use crate::report::today::Line;
use crate::shop::check::Check;
use crate::shop::count::Count;

impl Line {
    pub(super) fn check(check: &Check) -> Self {
        let now = "now".to_owned();
        match check {
            Check::Touch { lot, pieces } => Self {
                parts: [
                    now,
                    lot.to_string(),
                    "touch test".to_owned(),
                    Count(*pieces, "piece").to_string(),
                    "its cure time is over".to_owned(),
                ],
                then: Some(format!(
                    "it grabs: tackfree touch {lot} tacky\ndry through: tackfree touch {lot} dry-through"
                )),
            },
            Check::Read { room, lot, until, .. } => {
                let typed = quoted(room);
                Self {
                    parts: [
                        now,
                        lot.to_string(),
                        format!("read the {room}"),
                        String::new(),
                        format!("its window closes {}", until.moment()),
                    ],
                    then: Some(format!(
                        "the coat may be due: tackfree climate import {typed} FILE, or climate add {typed} --lowest … --highest …"
                    )),
                }
            }
        }
    }
}
