//! `schema`: the commands that answer in JSON.

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::{Page, Report};

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct SchemaList {
    pub(crate) commands: Vec<&'static str>,
}

impl Report for SchemaList {
    fn text(&self, page: &mut Page) {
        page.say("The JSON Schema of what these answer with --json: tackfree schema COMMAND");
        page.gap();
        page.under(self.commands.join(", "));
    }
}
