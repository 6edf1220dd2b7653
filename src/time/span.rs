//! Elapsed time as people type it ("24h", "6m10s", "24h..7d", "6 months").

use serde::{Deserialize, Serialize};

/// Elapsed time in whole seconds, never negative.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Span(i64);

/// No sooner than `min`, no later than `max`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct SpanRange {
    /// The shortest.
    pub min: Span,
    /// The longest; never shorter than `min`.
    pub max: Span,
}

/// How long a can keeps: calendar months or elapsed time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Keeps {
    /// Calendar months.
    Months(u32),
    /// Elapsed time.
    For(Span),
}
