//! Cans, as they are shown.

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::kit::CanLeft;
use crate::report::{Page, Report, row};
use crate::shop::{Can, Shop};
use crate::time::{Stamp, Viewpoint};
use crate::units::{Litres, Shown};

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct CanLine {
    pub(crate) can: String,
    pub(crate) finish: String,
    /// The maker's lot number.
    pub(crate) maker_lot: Option<String>,
    /// How much there was.
    pub(crate) litres: Option<Shown<Litres>>,
    /// What is left, by what the coats from it are reckoned to have taken.
    pub(crate) left_litres: Option<Shown<Litres>>,
    /// about, at most (some of its coats could not be reckoned), unknown.
    pub(crate) left: &'static str,
    /// When it was opened.
    pub(crate) opened: Stamp,
    /// When it is past its time.
    pub(crate) keeps_until: Option<Stamp>,
    /// open, past its time, empty.
    pub(crate) state: &'static str,
    /// Coats laid from it.
    pub(crate) coats: u32,
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct CanList {
    /// By name.
    pub(crate) cans: Vec<CanLine>,
}

impl CanLine {
    pub(crate) fn new(shop: &Shop, can: &Can, view: Viewpoint) -> Self {
        let left = CanLeft::new(shop, can, view);
        let state = match can.emptied {
            Some(_) => "empty",
            None if left.past_its_time => "past its time",
            None => "open",
        };
        Self {
            can: can.name.clone(),
            finish: can.finish.clone(),
            maker_lot: can.maker_lot.clone(),
            litres: can.litres.map(|litres| view.shown(litres)),
            left_litres: left.left_litres,
            left: left.left,
            opened: view.stamp(can.opened),
            keeps_until: shop.keeps_until(can).map(|until| view.stamp(until)),
            state,
            coats: can.coats,
        }
    }
}

impl Report for CanList {
    fn text(&self, page: &mut Page) {
        if self.cans.is_empty() {
            page.say("No open cans. Open one: tackfree can open FINISH --name NAME");
            return;
        }
        let row = |can: &CanLine| {
            let left = can.left_litres.map(|litres| format!("{} {}", can.left, litres.down()));
            let (held, opened, keeps) =
                (can.litres.map(Shown::on_tin), can.opened, can.keeps_until);
            row![can.can, can.finish, can.maker_lot, held, left, opened, keeps, can.state]
        };
        page.table(
            ["can", "finish", "maker's lot", "held", "left", "opened", "keeps until", "state"],
            self.cans.iter().map(row),
        );
    }
}
