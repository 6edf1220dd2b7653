//! Finishes that run out, as they are shown.

use crate::plan::oil::{Missing, RunsOut};
use crate::report::Page;

impl RunsOut {
    /// "house oil runs out at step 8 of salt-2, Wed 4 Mar 10:05: about 0.44 L more is needed".
    fn said(&self) -> String {
        let (runs, more) = match self.cans {
            0 => ("has no open can for", ""),
            _ => ("runs out at", " more"),
        };
        let amount = match (self.missing_litres, self.missing) {
            (Some(litres), Missing::AtLeast) => format!("at least {}{more} is needed", litres.up()),
            (Some(litres), _) => format!("about {}{more} is needed", litres.up()),
            (None, _) => "how much is needed is not known".to_owned(),
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
