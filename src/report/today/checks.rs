//! The lines of what comes before a step: a touch test, a room to read, a lot to join.

use crate::report::refusal::quoted;
use crate::report::row;
use crate::report::today::Line;
use crate::shop::Count;
use crate::shop::check::Check;
use crate::shop::join::ToJoin;
use crate::shop::name::LotName;

impl Line {
    pub(super) fn check(check: &Check) -> Self {
        match check {
            Check::Touch { lot, pieces } => Self {
                parts: row![
                    "now",
                    lot,
                    "touch test",
                    Count(*pieces, "piece"),
                    "its cure time is over"
                ],
                then: Some(format!(
                    "it grabs: tackfree touch {lot} tacky\ndry through: tackfree touch {lot} dry-through"
                )),
            },
            Check::Read { room, lot, until, .. } => {
                let closes = format!("its window closes {}", until.moment());
                Self::reading(room, lot, &closes, "the coat may be due")
            }
            Check::Unread { room, lot, .. } => {
                Self::reading(room, lot, "cured by hours nobody read", "it may take longer")
            }
            Check::Air { room, lot, .. } => {
                Self::reading(room, lot, "no air for a coat when read last", "it may be by now")
            }
        }
    }

    /// A room to read, and what that would tell of a lot.
    fn reading(room: &str, lot: &LotName, why: &str, may: &str) -> Self {
        let typed = quoted(room);
        Self {
            parts: row!["now", lot, format!("read the {room}"), "", why],
            then: Some(format!(
                "{may}: tackfree climate import {typed} FILE, or climate add {typed} --lowest … --highest …"
            )),
        }
    }

    /// A lot of a handful that may go on in another one now.
    pub(super) fn join(ToJoin { lot, pieces, into }: &ToJoin) -> Self {
        Self {
            parts: row![
                "now",
                lot,
                format!("join {into}"),
                Count(*pieces, "piece"),
                "one soak, one cure"
            ],
            then: Some(format!("then: tackfree lot join {into} {lot}")),
        }
    }
}
