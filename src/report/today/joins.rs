//! The line of a lot of a handful that may go on in another one now.

use crate::report::today::Line;
use crate::shop::count::Count;
use crate::shop::join::ToJoin;

impl Line {
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
