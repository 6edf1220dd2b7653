//! Cover: the area of a turned piece, the oil a coat takes, and what to lay out before a session.

pub mod kit;
pub(crate) mod outline;

pub use kit::{Abrading, Coating, Kit, kit};
pub use outline::{OutlineError, area};

use crate::units::{Coverage, Litres, OutOfRange, SquareCentimetres};

/// Oil for one coat: V = area · pieces/coverage, in litres from m² and m²/L (1 cm² is 1/10,000 m²).
///
/// Arithmetic; the coverage is the sheet's, and bare wood takes more than sealed.
pub fn oil(each: SquareCentimetres, pieces: u32, coverage: Coverage) -> Result<Litres, OutOfRange> {
    Litres::new(each.get() / 10_000.0 * f64::from(pieces) / coverage.get())
}
