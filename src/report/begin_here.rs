//! What a person sees who has no shop yet: how to begin.

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::{Page, Report, Tone};

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct BeginHere {
    pub(crate) begin: [Way; 3],
}

/// A command line to begin with.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Way {
    pub(crate) command: &'static str,
    pub(crate) what: &'static str,
}

impl BeginHere {
    pub(crate) const WAYS: Self = Self {
        begin: [
            Way {
                command: "tackfree demo",
                what: "looks round a made-up shop, and stores nothing",
            },
            Way {
                command: "tackfree setup new shop.toml --ask",
                what: "asks what your shop is like and writes its setup",
            },
            Way {
                command: "tackfree setup load shop.toml",
                what: "stores that setup: the shop is open",
            },
        ],
    };
}

impl Report for BeginHere {
    fn text(&self, page: &mut Page) {
        page.heading(Tone::Strong, "There's no shop here yet.");
        page.gap();
        for Way { command, what } in &self.begin {
            page.under(command);
            page.hanging(4, 4, what);
        }
        page.gap();
        page.say("All commands: tackfree help");
    }
}
