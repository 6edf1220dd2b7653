//! Rags not yet dealt with.

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::{Page, Report, Tone, row};
use crate::shop::rags::Lain;
use crate::shop::{EntryId, Rags, Shop};
use crate::time::{Span, Stamp, Viewpoint};

/// The rags of one coat.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct OpenRags {
    /// The coat's entry.
    pub(crate) entry: EntryId,
    pub(crate) lot: String,
    pub(crate) finish: String,
    /// Whether they can set themselves on fire, as far as the setup says.
    pub(crate) self_heating: Option<bool>,
    /// How that is marked where the finish's class says it and not the setup's own file.
    pub(crate) self_heating_from_class: Option<String>,
    pub(crate) since: Stamp,
    /// For how many hours.
    pub(crate) hours: f64,
    #[serde(skip)]
    pub(crate) lying: Span,
    /// How long that is: fresh, hours, day, night, days; what is said grows plainer with it.
    pub(crate) lain: &'static str,
    /// What is to be done about them now.
    pub(crate) says: &'static str,
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct RagsList {
    /// The moment it speaks of.
    pub(crate) now: Stamp,
    /// Open ones, oldest first.
    pub(crate) open: Vec<OpenRags>,
}

impl OpenRags {
    /// All open ones, oldest first.
    pub(crate) fn all(shop: &Shop, view: Viewpoint) -> Vec<Self> {
        let open = shop.rags.iter().map(|(entry, rags)| Self::new(shop, *entry, rags, view));
        let mut open: Vec<Self> = open.collect();
        open.sort_by_key(|rags| (rags.since.at(), rags.entry));
        open
    }

    fn new(shop: &Shop, entry: EntryId, rags: &Rags, view: Viewpoint) -> Self {
        let finish = shop.setup.as_ref().and_then(|setup| setup.finish(&rags.finish));
        let self_heating = shop.self_heating(rags);
        let lying = Span::between(rags.since, view.now);
        let lain = Lain::of(lying);
        Self {
            entry,
            lot: rags.lot.to_string(),
            finish: rags.finish.clone(),
            self_heating,
            self_heating_from_class: finish
                .and_then(|finish| finish.from_class.get("self_heating").cloned()),
            since: view.stamp(rags.since),
            hours: (lying.as_hours() * 10.0).round() / 10.0,
            lying,
            lain: lain.word(),
            says: if self_heating == Some(false) { NO_HEAT } else { lain.says() },
        }
    }

    fn can_heat(&self) -> bool {
        self.self_heating != Some(false)
    }

    fn heating(&self) -> String {
        let said = match self.self_heating {
            Some(true) => "can catch fire by itself",
            Some(false) => "said not to catch fire by itself",
            None => "unknown: treat as if they can",
        };
        let mark = if self.self_heating_from_class.is_some() { " (its class)" } else { "" };
        format!("{said}{mark}")
    }
}

/// What is said of rags whose finish is said not to heat them.
const NO_HEAT: &str = "They are said not to catch fire by themselves; the data sheet and local rules decide what becomes of them.";

/// "today 14:20, 3.2 h".
fn since(rags: &OpenRags) -> String {
    format!("{}, {} h", rags.since.moment(), rags.hours)
}

/// The reminder that stands under every screen while rags are open: the danger of the oldest that can heat, then which lie.
pub(crate) fn remind(open: &[OpenRags], page: &mut Page) {
    let Some((says, lying)) = said(open) else { return };
    page.section(Tone::Late, "RAGS");
    page.toned(Tone::Late, 2, 2, says);
    let lying: Vec<String> =
        lying.iter().map(|rags| format!("{}, {}", rags.lot, rags.lying)).collect();
    page.under(format!("Oily rags lying: {}.", lying.join("; ")));
    page.under("Once they are dealt with: tackfree rags done --how \"…\"");
}

/// What the rags that can do most harm ask for, and which lie: the oldest of each lot.
pub(crate) fn said(open: &[OpenRags]) -> Option<(&'static str, Vec<&OpenRags>)> {
    let oldest = open.iter().find(|rags| rags.can_heat()).or(open.first())?;
    let mut lots: Vec<&OpenRags> = Vec::new();
    for rags in open {
        if lots.iter().all(|known| known.lot != rags.lot) {
            lots.push(rags);
        }
    }
    Some((oldest.says, lots))
}

impl Report for RagsList {
    fn text(&self, page: &mut Page) {
        if self.open.is_empty() {
            page.say("No rags are open: every coat's rags are recorded as dealt with.");
            return;
        }
        if let Some((says, _)) = said(&self.open) {
            page.toned(Tone::Late, 0, 0, says);
            page.gap();
        }
        let row =
            |rags: &OpenRags| row![rags.entry, rags.lot, rags.finish, since(rags), rags.heating()];
        page.table(["entry", "lot", "finish", "open since", "fire"], self.open.iter().map(row));
        page.gap();
        page.say("Once they are dealt with: tackfree rags done --how \"…\"");
        page.say("What to do and why: tackfree caution rags");
    }
}
