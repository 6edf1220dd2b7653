//! How long the rags of a coat have lain, and how plainly that is said.
//!
//! The steps are those of the reference's statements, on their careful side: a heap has smoked after 110 minutes (R7), two
//! hours is the least that a brigade spoke of (R9), a working day ends the time in which they go in at once (R14), over a
//! night nobody watches them, and to a third day a heap may still ignite (R6). No step ever says that it is over: only
//! recording how they were dealt with does.

use crate::time::Span;

/// How long rags have lain.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Lain {
    /// Less than two hours.
    Fresh,
    /// Less than eight hours.
    Hours,
    /// Less than twelve hours: a working day.
    Day,
    /// Less than a day: overnight.
    Night,
    /// A day and more.
    Days,
}

impl Lain {
    /// How long rags have lain that have been open for so long.
    pub fn of(open: Span) -> Self {
        match open {
            open if open < Span::hours(2) => Self::Fresh,
            open if open < Span::hours(8) => Self::Hours,
            open if open < Span::hours(12) => Self::Day,
            open if open < Span::hours(24) => Self::Night,
            _ => Self::Days,
        }
    }

    /// The word for it: fresh, hours, day, night, days.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Fresh => "fresh",
            Self::Hours => "hours",
            Self::Day => "day",
            Self::Night => "night",
            Self::Days => "days",
        }
    }

    /// What is said of rags that can set themselves on fire, or of which nobody knows whether they can.
    pub const fn says(self) -> &'static str {
        match self {
            Self::Fresh => "Put them under water in a lidded metal can before you leave the bench.",
            Self::Hours => {
                "Smoke, heat or a sharp smell: leave it, get out, call the fire service. Else do it now: under water, metal can, lid. A heap has smoked after two hours."
            }
            Self::Day => {
                "Smoke, heat or a sharp smell: leave it, get out, call the fire service. Else nobody leaves before they are under water, outside: they have lain all day."
            }
            Self::Night => {
                "Smoke, heat or a sharp smell: leave it, get out, call the fire service. Else see to them now, wherever they are: under water, metal can, lid, outside. They have lain overnight with nobody watching."
            }
            Self::Days => {
                "Smoke, heat or a sharp smell: leave it, get out, call the fire service. Else go and look now, in bins, bags, pockets and the dust bag too: they have lain for a day or more, and a heap can still catch fire on the third day. Then write down what became of them."
            }
        }
    }
}
