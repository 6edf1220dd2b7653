//! The trade's arithmetic: pure functions, one file a subject.
//!
//! Nothing here reads, writes, asks the time or knows what a lot is; each function carries its formula, units and source.
//! "Common practice" marks what the trade alone says, with no source found; "from memory" what nobody looked up.

pub mod air;
pub mod climate;
pub mod cover;
pub mod cure;
pub mod grit;
pub mod pace;
pub(crate) mod scatter;
pub mod soak;
pub mod spares;
