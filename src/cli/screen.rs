//! Where a command's answer goes: text as wide as the terminal, or JSON.

use std::io::{self, Write};

use schemars::JsonSchema;
use serde::Serialize;

use crate::cli::Error;
use crate::report::clock::ClockBehind;
use crate::report::{Page, Report};
use crate::shop::line::escaped_json;

/// Standard output, and how to write to it.
pub(crate) struct Screen<'a> {
    out: &'a mut dyn Write,
    width: usize,
    colour: bool,
    json: bool,
    /// Said on top of whatever is shown.
    pub(crate) clock_behind: Option<ClockBehind>,
}

/// An answer in JSON, and what is said beside any.
#[derive(JsonSchema, Serialize)]
#[schemars(rename = "{R}")]
pub(crate) struct Noted<'a, R> {
    #[serde(skip_serializing_if = "Option::is_none")]
    clock_behind: Option<&'a ClockBehind>,
    #[serde(flatten)]
    report: &'a R,
}

impl<'a> Screen<'a> {
    pub(crate) fn new(out: &'a mut dyn Write, width: usize, colour: bool, json: bool) -> Self {
        Self { out, width, colour, json, clock_behind: None }
    }

    pub(crate) const fn json(&self) -> bool {
        self.json
    }

    /// Shows a result, whole.
    pub(crate) fn show<R: Report>(&mut self, report: &R) -> Result<(), Error> {
        if self.json {
            let noted = Noted { clock_behind: self.clock_behind.as_ref(), report };
            let text = serde_json::to_string_pretty(&noted).map_err(io::Error::from)?;
            self.out.write_all(escaped_json(&text).as_bytes())?;
            self.out.write_all(b"\n")?;
        } else {
            let mut page = Page::new(self.width, self.colour);
            if let Some(behind) = &self.clock_behind {
                behind.text(&mut page);
            }
            report.text(&mut page);
            self.out.write_all(page.into_text().as_bytes())?;
        }
        Ok(self.out.flush()?)
    }

    /// Writes text as it is, whether JSON was asked for or not.
    pub(crate) fn write(&mut self, text: &str) -> Result<(), Error> {
        self.out.write_all(text.as_bytes())?;
        Ok(self.out.flush()?)
    }
}
