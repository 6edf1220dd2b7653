//! Lots of a handful that may go on in another one now.

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::today::Line;
use crate::shop::Shop;
use crate::shop::count::Count;
use crate::time::Viewpoint;

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Join {
    /// The lot of a few pieces.
    pub(crate) lot: String,
    pub(crate) pieces: u32,
    /// The lot at the same step whose name they go on under.
    pub(crate) into: String,
}

impl Join {
    pub(super) fn all(shop: &Shop, view: Viewpoint) -> Vec<Self> {
        let joins = shop.to_join(view.now).into_iter();
        joins
            .map(|join| Self {
                lot: join.lot.to_string(),
                pieces: join.pieces,
                into: join.into.to_string(),
            })
            .collect()
    }

    pub(super) fn line(&self) -> Line {
        let Self { lot, pieces, into } = self;
        Line {
            parts: [
                "now".to_owned(),
                lot.clone(),
                format!("join {into}"),
                Count(*pieces, "piece").to_string(),
                "one soak, one cure".to_owned(),
            ],
            then: Some(format!("then: tackfree lot join {into} {lot}")),
        }
    }
}
