//! `scan --actions`: the codes that are read at the bench.

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::{Page, Report};
use crate::shop::Shop;

/// A code and what it does.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Code {
    pub(crate) code: String,
    pub(crate) does: String,
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Codes {
    /// One is read after a lot's.
    pub(crate) actions: Vec<Code>,
    /// These stand alone.
    pub(crate) alone: Vec<Code>,
    pub(crate) lots: Vec<Code>,
}

impl Codes {
    pub(crate) fn of(shop: &Shop) -> Self {
        let code = |code: &str, does: &str| Code { code: code.to_owned(), does: does.to_owned() };
        let lots = shop.open_lots().map(|lot| {
            let next = lot.next_step().map(|(number, _)| lot.recipe.words(number));
            code(&lot.name.to_string(), &next.unwrap_or_else(|| "ship".to_owned()))
        });
        Self {
            actions: vec![
                code("BEGIN", "its next step is begun"),
                code("WIPED", "its coat is wiped off; of several groups, this one"),
                code("DONE", "its next step is done"),
                code("REJECT 1", "one piece of it is thrown out; any number may stand there"),
            ],
            alone: vec![
                code("RAGS WATER", "all oily rags lie under water; any words may stand there"),
                code("UNDO", "what was recorded last is taken back"),
            ],
            lots: lots.collect(),
        }
    }
}

impl Report for Codes {
    fn text(&self, page: &mut Page) {
        let parts = [
            ("Read a lot's code, then one of these:", &self.actions),
            ("Read alone:", &self.alone),
            ("The open lots' codes, and what comes next:", &self.lots),
        ];
        let longest = parts.iter().flat_map(|(_, codes)| codes.iter()).map(|code| code.code.len());
        let longest = longest.max().unwrap_or(0);
        for (heading, codes) in parts {
            if codes.is_empty() {
                continue;
            }
            page.say(heading);
            for Code { code, does } in codes {
                page.hanging(2, longest.saturating_add(4), format!("{code:longest$}  {does}"));
            }
        }
    }
}
