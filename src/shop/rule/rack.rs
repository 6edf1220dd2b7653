//! Where pieces may stand: slots of racks, and which rack is for what.

use crate::shop::refusal::Wait;
use crate::shop::rule::window::StepAsked;
use crate::shop::rule::{Objections, When};
use crate::shop::setup::Rack;
use crate::shop::{Lot, LotName, Refusal, Shop};
use crate::time::Instant;

/// What pieces do on a rack.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Use {
    /// They wait for a coat, or rest after one.
    Dry,
    /// They cure after the last.
    Cure,
}

impl Use {
    pub(crate) const fn fits(self, rack: &Rack) -> bool {
        match self {
            Self::Dry => rack.purpose.dries(),
            Self::Cure => rack.purpose.cures(),
        }
    }

    const fn word(self) -> &'static str {
        match self {
            Self::Dry => "dry",
            Self::Cure => "cure",
        }
    }
}

impl Shop {
    /// A lot stands on a drying rack from its first coat on.
    pub(in crate::shop) fn place_objections(
        &self,
        StepAsked { lot, number, step, .. }: &StepAsked<'_>,
        rack: Option<&str>,
        at: Instant,
    ) -> Objections {
        let Some(rack) = rack else {
            if step.coat().is_some() && lot.rack().is_none() {
                return Err(self.no_rack(
                    &lot.name,
                    &lot.recipe.words(*number),
                    lot.pieces,
                    Use::Dry,
                    at,
                ));
            }
            return Ok(Vec::new());
        };
        self.has_room(rack, lot.pieces, at, Some(&lot.name))?;
        if lot.recipe.last_coat().is_none_or(|last| *number > last) {
            return Ok(Vec::new());
        }
        Ok(self.wrong_rack(&lot.name, lot.pieces, rack, Use::Dry, at).into_iter().collect())
    }

    /// Between coats a lot stands on a drying rack; after the last coat's shortest rest it may go on to a curing one.
    pub(in crate::shop) fn rack_objections(
        &self,
        lot: &Lot,
        pieces: u32,
        rack: &str,
        when: When,
    ) -> Vec<Refusal> {
        if !lot.coats_done() || lot.last_coat().is_none() {
            return self
                .wrong_rack(&lot.name, pieces, rack, Use::Dry, when.at)
                .into_iter()
                .collect();
        }
        let dries = self.known_rack(rack).is_ok_and(|rack| rack.purpose.dries());
        if dries {
            return Vec::new();
        }
        self.too_soon_to_move(lot, &format!("move to {rack}"), when).into_iter().collect()
    }

    pub(in crate::shop) fn too_soon_to_move(
        &self,
        lot: &Lot,
        step: &str,
        when: When,
    ) -> Option<Refusal> {
        let leave = self.may_leave(lot, when.now)?;
        leave.at.is_none_or(|earliest| when.at < earliest).then(|| Refusal::TooSoon {
            lot: lot.name.clone(),
            step: step.to_owned(),
            earliest: leave.at,
            at: when.at,
            wait: Wait::Recoat,
            ground: leave.ground(),
            origin: Box::new(self.origin(lot, Wait::Recoat)),
        })
    }

    /// Whether so many more pieces fit on a rack from `at` on.
    pub(in crate::shop) fn has_room(
        &self,
        rack: &str,
        pieces: u32,
        at: Instant,
        without: Option<&LotName>,
    ) -> Result<(), Refusal> {
        let slots = self.known_rack(rack)?.slots;
        let taken = self.most_taken(rack, at, without);
        if taken.saturating_add(pieces) <= slots {
            return Ok(());
        }
        let cures = self.known_rack(rack)?.purpose.cures();
        let wanted = if cures { Use::Cure } else { Use::Dry };
        let with_room = self.racks_with_room(pieces, wanted, at);
        Err(Refusal::Full { rack: rack.to_owned(), slots, taken, wanted: pieces, with_room })
    }

    pub(in crate::shop) fn wrong_rack(
        &self,
        lot: &LotName,
        pieces: u32,
        rack: &str,
        wanted: Use,
        at: Instant,
    ) -> Option<Refusal> {
        let fits = self.known_rack(rack).is_ok_and(|rack| wanted.fits(rack));
        (!fits).then(|| Refusal::WrongRack {
            lot: lot.clone(),
            rack: rack.to_owned(),
            wanted: wanted.word(),
            with_room: self.racks_with_room(pieces, wanted, at),
        })
    }

    pub(in crate::shop) fn no_rack(
        &self,
        lot: &LotName,
        step: &str,
        pieces: u32,
        wanted: Use,
        at: Instant,
    ) -> Refusal {
        let with_room = self.racks_with_room(pieces, wanted, at);
        Refusal::NoRack { lot: lot.clone(), step: step.to_owned(), with_room }
    }

    /// Racks for that use with so many slots free from `at` on.
    pub(crate) fn racks_with_room(&self, pieces: u32, wanted: Use, at: Instant) -> Vec<String> {
        let racks = self.setup.iter().flat_map(|setup| &setup.racks);
        let roomy = |rack: &&Rack| {
            self.most_taken(&rack.name, at, None).saturating_add(pieces) <= rack.slots
        };
        racks.filter(|rack| wanted.fits(rack)).filter(roomy).map(|rack| rack.name.clone()).collect()
    }
}
