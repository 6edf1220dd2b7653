//! One topic on one screen: what to do now first, then who decides.

use schemars::JsonSchema;
use serde::Serialize;

use crate::reference::{self, GOVERNS, Jurisdiction, Topic};
use crate::report::caution::country;
use crate::report::caution::from_setup::FromSetup;
use crate::report::{Page, Report, Tone};
use crate::shop::setup::Setup;

/// `caution TOPIC`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct TopicShown {
    pub(crate) topic: &'static str,
    pub(crate) title: &'static str,
    /// What the user's own data sheets say; it stands above the reference.
    pub(crate) from_setup: Vec<FromSetup>,
    /// What to do in at most three lines.
    pub(crate) short: &'static [String],
    /// What to do, whole.
    pub(crate) what_to_do: &'static [String],
    /// Why no verdict is given.
    pub(crate) no_verdict: &'static str,
    /// Who has the last word.
    pub(crate) who_decides: &'static [String],
    /// Whose word it is in the place where the reader works.
    pub(crate) authority: Option<&'static str>,
    /// What governs above this page.
    pub(crate) governs: &'static str,
    /// Where the reader works, if said.
    #[serde(rename = "where")]
    pub(crate) place: Option<Jurisdiction>,
}

impl TopicShown {
    pub(crate) fn new(
        topic: &'static Topic,
        place: Option<Jurisdiction>,
        setup: Option<&Setup>,
    ) -> Self {
        let place = place.or_else(|| country(setup));
        Self {
            topic: &topic.name,
            title: &topic.title,
            from_setup: FromSetup::all(&topic.name, setup),
            short: &topic.short,
            what_to_do: &topic.what_to_do,
            no_verdict: &topic.no_verdict,
            who_decides: &topic.who_decides,
            authority: place.and_then(|place| reference::authority(&topic.authority, place)),
            governs: GOVERNS,
            place,
        }
    }
}

impl Report for TopicShown {
    fn text(&self, page: &mut Page) {
        page.heading(Tone::Strong, self.title);
        FromSetup::text(&self.from_setup, page);
        for (number, line) in self.short.iter().enumerate() {
            page.toned(if number == 0 { Tone::Late } else { Tone::Plain }, 0, 2, line);
        }
        page.section(Tone::Strong, "What to do");
        for item in self.what_to_do {
            page.hang(format!("- {item}"));
        }
        page.gap();
        page.hang(format!("Who decides: {}.", self.who_decides.join("; ")));
        if let (Some(place), Some(who)) = (self.place, self.authority) {
            page.hang(format!("{}: {who}.", place.name()));
        }
        page.say(self.governs);
        page.say(self.no_verdict);
        page.say(format!("Why, and who says so: tackfree caution {} --sources", self.topic));
    }
}
