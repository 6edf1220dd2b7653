//! Oil: what a coat takes, and what is left in a can. What the setup does not say stays unknown; nothing is guessed.

use std::fmt;

use serde::Serialize;

use crate::craft::cover::{Abrading, Coating, area, oil};
use crate::craft::grit::Grade;
use crate::shop::setup::recipe::StepWork;
use crate::shop::setup::{Recipe, Size};
use crate::shop::{Can, Shop};
use crate::units::{Coverage, Litres, SquareCentimetres};

/// Why it is not known what a coat takes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "missing", rename_all = "snake_case")]
pub(crate) enum OilUnknown {
    /// The piece has neither a profile nor an area.
    Area { piece: String },
    /// The finish has no coverage.
    Coverage { finish: String },
    /// More than any can holds.
    TooMuch,
}

impl fmt::Display for OilUnknown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Area { piece } => {
                write!(f, "the piece {piece} has no profile and no area_cm2 in the setup")
            }
            Self::Coverage { finish } => write!(f, "{finish} has no coverage in the setup"),
            Self::TooMuch => f.write_str("it comes to more than 10,000 litres"),
        }
    }
}

/// What is left in a can.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Left {
    /// Nobody said how much it held.
    Unknown,
    /// About so much, by what the coats from it are reckoned to have taken.
    About(Litres),
    /// No more than so much: some of its coats could not be reckoned.
    AtMost(Litres),
}

impl Shop {
    /// Area of one piece, where the setup says or draws it.
    pub(crate) fn area_of(&self, piece: &str) -> Option<SquareCentimetres> {
        match self.setup.as_ref()?.piece(piece)?.size.as_ref()? {
            Size::Area(own) => Some(*own),
            Size::Profile(points) => area(points).ok(),
        }
    }

    /// How far the finish goes in that step of the recipe: on bare wood for its first coat.
    pub(crate) fn coverage_in(&self, recipe: &Recipe, step: u32) -> Option<Coverage> {
        let finish = self.setup.as_ref()?.finish(recipe.step(step)?.coat()?)?;
        let bare = finish.coverage_bare.filter(|_| recipe.first_coat() == Some(step));
        match (bare, finish.coverage) {
            // Bare wood never takes less than sealed: a class's coverage may not outdo the sheet's own.
            (Some(bare), Some(sealed))
                if sealed < bare && finish.from_class.contains_key("coverage_bare") =>
            {
                Some(sealed)
            }
            (bare, sealed) => bare.or(sealed),
        }
    }

    /// What a coat of the recipe takes for so many pieces; nothing if that step isn't a coat.
    pub(crate) fn oil_for(
        &self,
        recipe: &Recipe,
        step: u32,
        pieces: u32,
    ) -> Option<Result<Litres, OilUnknown>> {
        let finish = recipe.step(step)?.coat()?;
        let Some(each) = self.area_of(&recipe.piece) else {
            return Some(Err(OilUnknown::Area { piece: recipe.piece.clone() }));
        };
        let Some(coverage) = self.coverage_in(recipe, step) else {
            return Some(Err(OilUnknown::Coverage { finish: finish.to_owned() }));
        };
        Some(oil(each, pieces, coverage).map_err(|_| OilUnknown::TooMuch))
    }

    /// What a coat takes out of its can, to the microlitre, so that it reads back from the ledger as the same number; none
    /// where that is not known.
    pub fn drawn(&self, recipe: &Recipe, step: u32, pieces: u32) -> Option<Litres> {
        let litres = self.oil_for(recipe, step, pieces)?.ok()?.get();
        Litres::new((litres * 1e6).round() / 1e6).ok()
    }

    /// That step as a coat to lay out for.
    pub(crate) fn coating(&self, recipe: &Recipe, step: u32, pieces: u32) -> Option<Coating> {
        let finish = recipe.step(step)?.coat()?;
        let sheet = self.setup.as_ref().and_then(|setup| setup.finish(finish));
        Some(Coating {
            of: finish.to_owned(),
            each: self.area_of(&recipe.piece),
            pieces,
            coverage: self.coverage_in(recipe, step),
            self_heating: sheet.and_then(|sheet| sheet.self_heating),
        })
    }
}

impl Recipe {
    /// That step as abrading to cut strips for.
    pub(crate) fn abrading(&self, step: u32, pieces: u32) -> Option<Abrading> {
        match &self.step(step)?.work {
            StepWork::Sand { grit, strip, .. } | StepWork::Rub { grit, strip, .. } => {
                Some(Abrading { grade: grit.parse().ok()?, pieces, per_strip: *strip })
            }
            _ => None,
        }
    }

    /// The grits it sands with, in order: rubbing between coats is no part of the ladder.
    pub(crate) fn sanding(&self) -> Vec<Grade> {
        let grit = |work: &StepWork| match work {
            StepWork::Sand { grit, .. } => grit.parse().ok(),
            _ => None,
        };
        self.steps.iter().filter_map(|step| grit(&step.work)).collect()
    }
}

impl Can {
    /// What is left by the coats laid from it; of a can that gave more than it held, nothing.
    pub(crate) fn left(&self) -> Left {
        let Some(held) = self.litres else { return Left::Unknown };
        let rest = Litres::new((held.get() - self.drawn.get()).max(0.0)).unwrap_or(Litres::ZERO);
        if self.not_reckoned > 0 { Left::AtMost(rest) } else { Left::About(rest) }
    }

    /// Notes what a coat took.
    pub(super) fn draw(&mut self, taken: Option<Litres>) {
        let drawn = taken.and_then(|taken| Litres::new(self.drawn.get() + taken.get()).ok());
        match drawn {
            Some(drawn) => self.drawn = drawn,
            None => self.not_reckoned = self.not_reckoned.saturating_add(1),
        }
    }
}
