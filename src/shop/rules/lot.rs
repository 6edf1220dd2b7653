//! Rules for lots: start, split, move, and the slots of racks.

use crate::shop::Shop;
use crate::shop::entry::{Fact, SubjectKind};
use crate::shop::lot::Lot;
use crate::shop::name::LotName;
use crate::shop::refusal::{Refusal, Wait};
use crate::shop::rules::{Objections, When, enough, free};
use crate::shop::setup::Rack;
use crate::time::Instant;

/// What pieces do on a rack.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Use {
    /// They wait for a coat, or rest after one.
    Dry,
    /// They cure after the last.
    Cure,
}

impl Use {
    /// Whether that rack is for it.
    pub const fn fits(self, rack: &Rack) -> bool {
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
    pub(super) fn may_start(&self, fact: &Fact, at: Instant) -> Objections {
        let Fact::LotStarted { lot, recipe, pieces, rack, from_step, .. } = fact else {
            return Ok(Vec::new());
        };
        self.open_batch(&lot.batch, at)?;
        if *pieces == 0 {
            return Err(Refusal::NoPieces);
        }
        if self.lots.contains_key(lot) {
            return Err(Refusal::NameTaken { what: SubjectKind::Lot, name: lot.to_string() });
        }
        let after_coats = recipe.last_coat().is_some_and(|last| last < *from_step);
        let begun_coats = recipe.first_coat().is_some_and(|first| first < *from_step);
        let Some(rack) = rack else {
            if begun_coats && !after_coats {
                let step = recipe
                    .step(*from_step)
                    .map_or_else(String::new, super::super::setup::recipe::Step::name);
                return Err(self.no_rack(lot, &step, *pieces, Use::Dry, at));
            }
            return Ok(Vec::new());
        };
        self.has_room(rack, *pieces, at, None)?;
        let wanted = if after_coats { None } else { Some(Use::Dry) };
        Ok(wanted
            .and_then(|wanted| self.wrong_rack(lot, *pieces, rack, wanted, at))
            .into_iter()
            .collect())
    }

    pub(super) fn may_split(
        &self,
        lot: &Lot,
        pieces: u32,
        rack: Option<&str>,
        when: When,
    ) -> Objections {
        enough(lot, pieces)?;
        if pieces == lot.pieces {
            return Err(Refusal::SplitAll { lot: lot.name.clone(), pieces });
        }
        match rack {
            Some(rack) if lot.rack() != Some(rack) => {
                self.has_room(rack, pieces, when.at, None)?;
                Ok(self.rack_objections(lot, pieces, rack, when))
            }
            _ => Ok(Vec::new()),
        }
    }

    pub(super) fn may_move(&self, lot: &Lot, rack: Option<&str>, when: When) -> Objections {
        free(lot)?;
        let Some(rack) = rack else {
            return Ok(self.too_soon_to_move(lot, "leave the rack", when).into_iter().collect());
        };
        self.has_room(rack, lot.pieces, when.at, Some(&lot.name))?;
        Ok(self.rack_objections(lot, lot.pieces, rack, when))
    }

    /// Between coats a lot stands on a drying rack; after the last coat's shortest rest it may go on to a curing one.
    fn rack_objections(&self, lot: &Lot, pieces: u32, rack: &str, when: When) -> Vec<Refusal> {
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

    fn too_soon_to_move(&self, lot: &Lot, step: &str, when: When) -> Option<Refusal> {
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
    pub(super) fn has_room(
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

    pub(super) fn wrong_rack(
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

    pub(super) fn no_rack(
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
    pub fn racks_with_room(&self, pieces: u32, wanted: Use, at: Instant) -> Vec<String> {
        let racks = self.setup.iter().flat_map(|setup| &setup.racks);
        let roomy = |rack: &&Rack| {
            self.most_taken(&rack.name, at, None).saturating_add(pieces) <= rack.slots
        };
        racks.filter(|rack| wanted.fits(rack)).filter(roomy).map(|rack| rack.name.clone()).collect()
    }
}
