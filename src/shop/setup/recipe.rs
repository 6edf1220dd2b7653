//! A recipe: the finishing schedule, steps in order.

use serde::{Deserialize, Serialize};

use crate::time::{Span, SpanRange};

/// The finishing schedule. Changing it makes a new revision; a lot keeps the revision it began with.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Recipe {
    /// Its name.
    pub name: String,
    /// The piece it is for.
    pub piece: String,
    /// At least one. If any is a coat, exactly one `cure` of the last coat's finish follows the last coat.
    pub steps: Vec<Step>,
}

/// One step.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Step {
    /// What is done.
    #[serde(flatten)]
    pub work: StepWork,
    /// The wait after the step that the recipe asks for: no sooner, and if a range no later. A coat's own wait is the
    /// sheet's recoat window and not here.
    pub rest: Option<Rest>,
}

/// A wait the recipe itself asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Rest {
    /// No sooner than this.
    AtLeast(Span),
    /// No sooner and no later.
    Between(SpanRange),
}

/// What is done in a step. `each` is the time one piece takes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum StepWork {
    /// Any labour by its name: turn, inspect, pack.
    Work {
        /// "turn".
        name: String,
        /// A piece's time.
        each: Span,
    },
    /// Sanding dry.
    Sand {
        /// As the file spells it: "P180".
        grit: String,
        /// A piece's time.
        each: Span,
        /// Pieces one strip does.
        strip: Option<u32>,
    },
    /// Raising the grain.
    Raise {
        /// "water".
        with: String,
        /// A piece's time.
        each: Span,
    },
    /// A coat: applied, soaked, wiped.
    Coat {
        /// The finish.
        finish: String,
        /// A piece's time to apply.
        each: Span,
        /// A piece's time to wipe; zero for a finish that is not wiped.
        wipe: Span,
    },
    /// Rubbing down between coats.
    Rub {
        /// "P400".
        grit: String,
        /// A piece's time.
        each: Span,
        /// Pieces one strip does.
        strip: Option<u32>,
    },
    /// Over by itself when the lot's age is there.
    Cure {
        /// The last coat's finish.
        finish: String,
    },
}

/// The P grades of FEPA that a recipe may name, coarse to fine.
pub const GRADES: [&str; 28] = [
    "P12", "P16", "P20", "P24", "P30", "P36", "P40", "P50", "P60", "P80", "P100", "P120", "P150",
    "P180", "P220", "P240", "P280", "P320", "P360", "P400", "P500", "P600", "P800", "P1000",
    "P1200", "P1500", "P2000", "P2500",
];
