//! What to lay out before a session: oil, cloths, abrasive strips by grit, gloves, the lidded metal can.
//!
//! Oil and strips are reckoned; cloths and gloves are common practice, no source.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::oil;
use crate::craft::grit::{Grade, GritError, strips};
use crate::units::{Coverage, Litres, OutOfRange, SquareCentimetres};

/// Pieces one wiping cloth does before it only moves the oil about: 12 (common practice, no source).
pub(crate) const PIECES_A_CLOTH: u32 = 12;

/// Said with every kit that holds oil.
pub(crate) const METAL_CAN: &str = "lidded metal can with water for the used cloths";

/// One coat on some pieces.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize, Deserialize)]
pub struct Coating {
    /// The finish, or the can it comes from: oil is added up under this name.
    pub of: String,
    /// Area of one piece; `None` where the shop does not know it.
    pub each: Option<SquareCentimetres>,
    pub pieces: u32,
    /// The coverage on wood in this state; `None` where the sheet gives none.
    pub coverage: Option<Coverage>,
    /// Whether the sheet says that its cloths can set themselves on fire; `None` is unknown, and taken as yes.
    pub self_heating: Option<bool>,
}

/// Sanding or rubbing some pieces with one grit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize, Deserialize)]
pub struct Abrading {
    pub grade: Grade,
    pub pieces: u32,
    /// Pieces one strip does; `None` where the recipe does not say.
    pub per_strip: Option<u32>,
}

/// What to lay out.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Kit {
    /// Oil by finish or can.
    pub oil: BTreeMap<String, Litres>,
    /// Finishes of which some amount is unknown, because an area or a coverage is missing.
    pub oil_unknown: Vec<String>,
    /// Cloths: one to apply a finish, and one to wipe for every 12 pieces.
    pub cloths: u32,
    /// Strips to cut by grit.
    pub strips: BTreeMap<Grade, u32>,
    /// Grits of which some count is unknown, since the recipe does not say how many pieces a strip does.
    pub strips_unknown: Vec<Grade>,
    /// Pairs of gloves: one a finish, and one to change into.
    pub gloves: u32,
    /// Whether a lidded metal can with water has to stand ready: with every finish.
    pub metal_can: bool,
    /// Whether any of the finishes heats its cloths, or may (unknown).
    pub self_heating: bool,
}

/// Why a kit can't be reckoned.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum KitError {
    /// An amount no shop handles.
    #[error(transparent)]
    Amount(#[from] OutOfRange),
    /// A strip that does no piece.
    #[error(transparent)]
    Strip(#[from] GritError),
}

/// Adds up what some work needs.
pub fn kit(coats: &[Coating], abrading: &[Abrading]) -> Result<Kit, KitError> {
    let mut kit = Kit::default();
    let mut finishes: BTreeMap<&str, u32> = BTreeMap::new();
    for coat in coats.iter().filter(|coat| coat.pieces > 0) {
        let pieces = finishes.entry(&coat.of).or_default();
        *pieces = pieces.saturating_add(coat.pieces);
        kit.self_heating |= coat.self_heating.unwrap_or(true);
        match (coat.each, coat.coverage) {
            (Some(each), Some(coverage)) => {
                let more = oil(each, coat.pieces, coverage)?.get();
                let before = kit.oil.get(&coat.of).map_or(0.0, |litres| litres.get());
                kit.oil.insert(coat.of.clone(), Litres::new(before + more)?);
            }
            _ if kit.oil_unknown.contains(&coat.of) => {}
            _ => kit.oil_unknown.push(coat.of.clone()),
        }
    }
    for pieces in finishes.values() {
        kit.cloths = kit.cloths.saturating_add(1 + pieces.div_ceil(PIECES_A_CLOTH));
        kit.gloves = kit.gloves.saturating_add(1);
    }
    kit.gloves += u32::from(kit.gloves > 0);
    kit.metal_can = !finishes.is_empty();
    for work in abrading.iter().filter(|work| work.pieces > 0) {
        if let Some(per_strip) = work.per_strip {
            let more = strips(work.grade, work.pieces, per_strip)?;
            let count = kit.strips.entry(work.grade).or_default();
            *count = count.saturating_add(more);
        } else if !kit.strips_unknown.contains(&work.grade) {
            kit.strips_unknown.push(work.grade);
        }
    }
    Ok(kit)
}
