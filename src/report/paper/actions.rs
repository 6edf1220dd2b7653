//! `card --actions`: the codes that are scanned at the bench, to hang up beside the scanner.

use maud::{Markup, html};
use schemars::JsonSchema;
use serde::Serialize;

use super::{Paper, page, qr};
use crate::report::codes::{Code, Codes};
use crate::report::{Page, Report};
use crate::shop::Shop;

const RULES: [&str; 2] = [include_str!("paper.css"), include_str!("actions.css")];

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Actions {
    pub(crate) paper: Paper,
    /// Where the page was written.
    pub(crate) file: Option<String>,
    /// One is read after a lot's.
    pub(crate) actions: Vec<Code>,
    /// These stand alone.
    pub(crate) alone: Vec<Code>,
}

impl Actions {
    pub(crate) fn new(shop: &Shop, paper: Paper) -> Self {
        let Codes { actions, alone, .. } = Codes::of(shop);
        Self { paper, file: None, actions, alone }
    }

    pub(crate) fn html(&self) -> String {
        let (wide, tall) = self.paper.size();
        let sizes = format!("@page{{size:{wide}mm {tall}mm;margin:0}}.sheet{{width:{wide}mm}}");
        let body = html! {
            main.sheet.actions {
                h1 { "Scan the lot, then one of these" }
                (codes(&self.actions))
                h1 { "Scan these alone" }
                (codes(&self.alone))
            }
        };
        page("Codes for the bench", &[RULES[0], RULES[1], &sizes], None, &body)
    }
}

fn codes(codes: &[Code]) -> Markup {
    html! {
        div.codes {
            @for Code { code, does } in codes {
                article {
                    @if let Some(picture) = qr::code(code) { (picture) }
                    h2 { (code) }
                    p { (does) }
                }
            }
        }
    }
}

impl Report for Actions {
    fn text(&self, page: &mut Page) {
        if let Some(file) = &self.file {
            page.hang(format!("Wrote the codes for the bench to {file}."));
        }
    }
}
