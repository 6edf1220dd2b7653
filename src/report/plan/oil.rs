//! Finishes that run out, as they are shown.

use schemars::JsonSchema;
use serde::Serialize;

use crate::plan::oil::{Missing, RunsOut, run_out};
use crate::report::Page;
use crate::shop::Shop;
use crate::shop::plan::ShopPlan;
use crate::time::{Stamp, Viewpoint};
use crate::units::{Litres, Shown};

/// A finish that runs out.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct OilOutLine {
    pub(crate) finish: String,
    /// Open cans of it, whatever their time.
    pub(crate) cans: usize,
    /// The lot of the first coat that they don't last for.
    pub(crate) lot: String,
    /// That coat, from 1.
    pub(crate) step: u32,
    /// When it is laid.
    pub(crate) start: Stamp,
    /// What is missing from that coat on; null where nothing is known of it.
    pub(crate) missing_litres: Option<Shown<Litres>>,
    /// about, at least, unknown.
    pub(crate) missing: &'static str,
    /// Cans that hold some and are past their time by then.
    pub(crate) past: Vec<CanPast>,
}

/// A can past its time.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct CanPast {
    pub(crate) can: String,
    /// The end of its time.
    pub(crate) kept_until: Stamp,
}

impl OilOutLine {
    pub(super) fn all(shop: &Shop, plan: &ShopPlan, view: Viewpoint) -> Vec<Self> {
        run_out(shop, plan).into_iter().map(|out| Self::new(out, view)).collect()
    }

    fn new(out: RunsOut, view: Viewpoint) -> Self {
        let (missing, missing_litres) = match out.missing {
            Missing::Unknown => ("unknown", None),
            Missing::About(litres) => ("about", Some(view.shown(litres))),
            Missing::AtLeast(litres) => ("at least", Some(view.shown(litres))),
        };
        let past = |(can, kept_until)| CanPast { can, kept_until: view.stamp(kept_until) };
        Self {
            finish: out.finish,
            cans: out.cans,
            lot: out.coat.lot,
            step: out.coat.step,
            start: view.stamp(out.coat.start),
            missing_litres,
            missing,
            past: out.past.into_iter().map(past).collect(),
        }
    }

    /// "house oil runs out at step 8 of salt-2, Wed 4 Mar 10:05: about 0.44 L more is needed".
    fn said(&self) -> String {
        let (runs, more) = match self.cans {
            0 => ("has no open can for", ""),
            _ => ("runs out at", " more"),
        };
        let amount = match self.missing_litres {
            Some(litres) => format!("{} {}{more} is needed", self.missing, litres.up()),
            None => "how much is needed is not known".to_owned(),
        };
        let past = self.past.iter().map(|past| {
            format!("; {} is past its time from {} on", past.can, past.kept_until.moment())
        });
        let Self { finish, step, lot, start, .. } = self;
        let past: String = past.collect();
        format!("{finish} {runs} step {step} of {lot}, {}: {amount}{past}", start.moment())
    }

    pub(super) fn text(lines: &[Self], page: &mut Page) {
        for line in lines {
            page.hang(line.said());
        }
    }
}
