//! Notices as they stand on the desktop, which runs keep for each other.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::remind::desktop::Place;
use crate::remind::due::{Thing, Who};
use crate::remind::notice::Kind;
use crate::shop::LotName;
use crate::store::Memory;
use crate::time::Instant;

/// A notice as it was shown.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Stands {
    pub(super) place: Place,
    /// When it was shown last.
    pub(super) at: Instant,
    pub(super) kind: Kind,
    /// Whether it stays until it is answered, and so is shown again by a service that was started again.
    pub(super) stays: bool,
    /// What it tells, whatever its stage.
    pub(super) things: BTreeSet<String>,
    pub(super) who: BTreeSet<Who>,
    /// Whether it has buttons.
    #[serde(default)]
    pub(super) buttons: bool,
}

pub(super) fn standing(told: &Memory) -> BTreeMap<String, Stands> {
    // One that this version can't read was shown by another; it stands until it is closed by hand.
    let known = told.notices.iter().filter_map(|(tag, stands)| {
        serde_json::from_str(stands).ok().map(|stands| (tag.clone(), stands))
    });
    known.collect()
}

impl Stands {
    pub(super) fn is_of(&self, thing: &Thing) -> bool {
        self.kind == thing.kind && self.who.contains(&thing.who)
    }

    pub(super) fn lacks_buttons(&self) -> bool {
        self.kind == Kind::Wipe && self.who.len() == 1 && !self.buttons
    }

    /// Whether it tells this, and it is still to be told.
    pub(super) fn tells(&self, thing: &Thing, told: &Memory) -> bool {
        self.things.contains(&thing.about) && !told.put_off.contains(&thing.about)
    }
}

/// The lot whose notice stands there; nothing where another notice stands, or one of several lots.
pub(crate) fn lot_at(told: &Memory, place: &Place) -> Option<LotName> {
    let stands = standing(told).into_values().find(|stands| stands.place == *place)?;
    match &stands.who.into_iter().collect::<Vec<_>>()[..] {
        [Who::Lot(lot)] => Some(lot.clone()),
        _ => None,
    }
}
