//! One statement with all that says whether to believe it, and a claim often heard.

use serde::Serialize;

use crate::reference::{CheckKind, Heard, Met, Statement};
use crate::report::Page;

#[derive(Debug, Clone, Serialize)]
pub struct StatementLine {
    /// All the reference holds of it.
    #[serde(flatten)]
    pub statement: &'static Statement,
    /// Where it stands: "reference/rags.txt:46".
    pub traced_to: String,
    /// Whether any of it is from memory and has to be looked up before anyone relies on it.
    pub look_it_up: bool,
}

/// A claim often heard that is wrong.
#[derive(Debug, Clone, Serialize)]
pub struct HeardLine {
    /// The claim, and what is right.
    #[serde(flatten)]
    pub heard: &'static Heard,
    pub traced_to: String,
}

impl StatementLine {
    /// A statement of the reference.
    pub fn new(statement: &'static Statement) -> Self {
        let kind = statement.check.kind();
        let look_it_up = matches!(kind, CheckKind::FromMemory | CheckKind::PartRead);
        Self { statement, traced_to: statement.traced_to(), look_it_up }
    }

    /// "OSHA, spray finishing; 29 CFR 1910.107(g)(3); current".
    pub fn source(&self) -> String {
        let Statement { source, clause, year, .. } = self.statement;
        let clause = clause.as_ref().map_or_else(String::new, |clause| format!("; {clause}"));
        format!("{source}{clause}; {year}")
    }

    /// "US, CA".
    pub fn places(&self) -> String {
        let places = self.statement.places.iter().map(ToString::to_string);
        places.collect::<Vec<_>>().join(", ")
    }

    /// Writes it: what it says, who says so, how that was checked, where it stands.
    pub fn text(&self, page: &mut Page) {
        let Statement { id, says, .. } = self.statement;
        page.hanging(0, 5, &format!("{id} ({}): {says}", self.places()));
        page.hanging(5, 7, &format!("source: {}", self.source()));
        self.check(page);
    }

    /// Writes who says it without what it says.
    pub fn source_text(&self, page: &mut Page) {
        let id = &self.statement.id;
        page.hanging(0, 5, &format!("{id} ({}): {}", self.places(), self.source()));
        self.check(page);
    }

    fn check(&self, page: &mut Page) {
        let checked = &self.statement.check;
        let look = if self.look_it_up { " (not looked up: look it up)" } else { "" };
        page.hanging(5, 7, &format!("checked: {checked}{look}"));
        if let Some(second) = &self.statement.second {
            page.hanging(5, 7, &format!("second source: {}", second.says));
        }
        page.hanging(5, 7, &self.traced_to);
    }
}

impl HeardLine {
    /// A claim often heard in a topic of that name.
    pub fn new(topic: &str, heard: &'static Heard) -> Self {
        Self { heard, traced_to: format!("reference/{topic}.txt:{}", heard.line) }
    }

    /// Writes the claim and what is right.
    pub fn text(&self, page: &mut Page) {
        let Heard { claim, right, met, see, .. } = self.heard;
        let met = match met {
            Met::Seen => "seen in print",
            Met::Expected => "expected, not seen",
        };
        page.hanging(0, 2, &format!("WRONG: \"{claim}\" ({met})"));
        page.hanging(2, 4, &format!("right: {right} See {}.", see.join(", ")));
        page.hanging(2, 4, &self.traced_to);
    }
}
