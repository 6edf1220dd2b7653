//! A recipe: the finishing schedule, steps in order.

use schemars::JsonSchema;
use serde::Serialize;

use crate::time::{Span, SpanRange};

/// The finishing schedule. Changing it makes a new revision; a lot keeps the revision it began with.
#[derive(Debug, Clone, Default, PartialEq, Eq, JsonSchema, Serialize)]
pub struct Recipe {
    pub name: String,
    /// The piece it is for.
    pub piece: String,
    /// At least one. If any is a coat, exactly one `cure` of the last coat's finish follows the last coat.
    pub steps: Vec<Step>,
}

#[derive(Debug, Clone, PartialEq, Eq, JsonSchema, Serialize)]
pub struct Step {
    #[serde(flatten)]
    pub work: StepWork,
    /// The wait after the step that the recipe asks for: no sooner, and if a range no later. A coat's own wait is the
    /// sheet's recoat window and not here.
    pub rest: Option<Rest>,
}

/// Which of a recipe's coats a step is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize)]
pub(crate) struct CoatNumber {
    /// From 1.
    pub(crate) coat: u32,
    pub(crate) of: u32,
}

/// A wait the recipe itself asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Rest {
    /// No sooner than this.
    AtLeast(Span),
    /// No sooner and no later.
    Between(SpanRange),
}

/// What is done in a step. `each` is the time one piece takes.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema, Serialize)]
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

/// A step's name, under which its times are kept, as a person says it.
pub(crate) fn in_words(name: &str) -> String {
    match name.split_once(' ') {
        _ if name == "raise with water" => "raise the grain".to_owned(),
        Some(("raise", with)) if with.starts_with("with ") => format!("raise the grain {with}"),
        Some(("rub", grit)) if grit.starts_with('P') => format!("rub down with {grit}"),
        _ => name.to_owned(),
    }
}

impl Recipe {
    /// The step of that number, from 1.
    pub fn step(&self, number: u32) -> Option<&Step> {
        self.steps.get(usize::try_from(number.checked_sub(1)?).ok()?)
    }

    /// Every step with its number, from 1.
    pub(crate) fn numbered(&self) -> impl DoubleEndedIterator<Item = (u32, &Step)> {
        (1..).zip(&self.steps).collect::<Vec<_>>().into_iter()
    }

    /// How many steps there are.
    pub fn count(&self) -> u32 {
        u32::try_from(self.steps.len()).unwrap_or(u32::MAX)
    }

    /// Which coat that step is, if it is one.
    pub(crate) fn coat_number(&self, number: u32) -> Option<CoatNumber> {
        let is_coat = |(_, step): &(u32, &Step)| step.coat().is_some();
        let up_to = self.numbered().filter(is_coat).take_while(|(coat, _)| *coat <= number);
        let count = |coats: usize| u32::try_from(coats).unwrap_or(u32::MAX);
        let coat = self.step(number)?.coat().map(|_| count(up_to.count()))?;
        Some(CoatNumber { coat, of: count(self.numbered().filter(is_coat).count()) })
    }

    /// A step as a person is told of it: "turn", "rub down with P400", "coat 2 of 3, house oil".
    pub fn words(&self, number: u32) -> String {
        let Some(step) = self.step(number) else { return format!("step {number}") };
        match (&step.work, self.coat_number(number)) {
            (StepWork::Coat { finish, .. }, Some(CoatNumber { coat, of })) if of > 1 => {
                format!("coat {coat} of {of}, {finish}")
            }
            _ => in_words(&step.name()),
        }
    }

    /// The number of the first coat, if any is one.
    pub(crate) fn first_coat(&self) -> Option<u32> {
        self.numbered().find(|(_, step)| step.coat().is_some()).map(|(number, _)| number)
    }

    /// The number of the last coat, if any is one.
    pub(crate) fn last_coat(&self) -> Option<u32> {
        self.numbered().rev().find(|(_, step)| step.coat().is_some()).map(|(number, _)| number)
    }
}

impl Step {
    /// The finish, if this step is a coat.
    pub fn coat(&self) -> Option<&str> {
        match &self.work {
            StepWork::Coat { finish, .. } => Some(finish),
            _ => None,
        }
    }

    /// The finish a cure is of.
    pub(crate) fn cures(&self) -> Option<&str> {
        match &self.work {
            StepWork::Cure { finish } => Some(finish),
            _ => None,
        }
    }

    /// Whether this step is over by itself.
    pub const fn is_cure(&self) -> bool {
        matches!(self.work, StepWork::Cure { .. })
    }

    /// Whether pieces are looked over in it before they leave the shop.
    pub(crate) fn inspects(&self) -> bool {
        matches!(&self.work, StepWork::Work { name, .. } if name.contains("inspect"))
    }

    /// The kind of step in one word: work, sand, raise, coat, rub, cure.
    pub(crate) const fn kind(&self) -> &'static str {
        match self.work {
            StepWork::Work { .. } => "work",
            StepWork::Sand { .. } => "sand",
            StepWork::Raise { .. } => "raise",
            StepWork::Coat { .. } => "coat",
            StepWork::Rub { .. } => "rub",
            StepWork::Cure { .. } => "cure",
        }
    }

    /// Its name wherever it is compared: "turn", "sand P180", "coat house oil". A person is told [`Recipe::words`].
    pub(crate) fn name(&self) -> String {
        match &self.work {
            StepWork::Work { name, .. } => name.clone(),
            StepWork::Sand { grit, .. } => format!("sand {grit}"),
            StepWork::Raise { with, .. } => format!("raise with {with}"),
            StepWork::Coat { finish, .. } => format!("coat {finish}"),
            StepWork::Rub { grit, .. } => format!("rub {grit}"),
            StepWork::Cure { finish } => format!("cure {finish}"),
        }
    }

    /// Hands' time one piece takes, wiping included; none for a cure.
    pub(crate) fn each(&self) -> Span {
        match &self.work {
            StepWork::Work { each, .. }
            | StepWork::Sand { each, .. }
            | StepWork::Raise { each, .. }
            | StepWork::Rub { each, .. } => *each,
            StepWork::Coat { each, wipe, .. } => each.saturating_add(*wipe),
            StepWork::Cure { .. } => Span::ZERO,
        }
    }

    /// Hands' minutes for so many pieces, rounded up, a lot and step.
    pub(crate) fn minutes(&self, pieces: u32) -> u32 {
        u32::try_from(self.each().times(u64::from(pieces)).minutes_up()).unwrap_or(u32::MAX)
    }
}

/// The P grades of FEPA that a recipe may name, coarse to fine.
pub const GRADES: [&str; 28] = [
    "P12", "P16", "P20", "P24", "P30", "P36", "P40", "P50", "P60", "P80", "P100", "P120", "P150",
    "P180", "P220", "P240", "P280", "P320", "P360", "P400", "P500", "P600", "P800", "P1000",
    "P1200", "P1500", "P2000", "P2500",
];
