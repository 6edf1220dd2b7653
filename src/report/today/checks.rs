//! The lines of what comes before a step: a touch test, a room to read, a lot to join.

use crate::report::refusal::quoted;
use crate::report::today::Line;
use crate::shop::Count;
use crate::shop::check::Check;
use crate::shop::join::ToJoin;

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

    /// A lot of a handful that may go on in another one now.
    pub(super) fn join(ToJoin { lot, pieces, into }: &ToJoin) -> Self {
        Self {
            parts: [
                "now".to_owned(),
                lot.to_string(),
                format!("join {into}"),
                Count(*pieces, "piece").to_string(),
                "one soak, one cure".to_owned(),
            ],
            then: Some(format!("then: tackfree lot join {into} {lot}")),
        }
    }
}
