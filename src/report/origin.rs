//! Where a wait's time comes from, in words: the sheet, or common practice where the sheet is silent; a cure, or only a
//! rest.

use crate::shop::origin::Origin;
use crate::shop::refusal::Wait;

/// What is not over yet: "the sheet's cure time is not reached".
pub(crate) fn not_over(wait: Wait, origin: &Origin) -> String {
    match (wait, &origin.only_rests) {
        (Wait::Rest, _) => "the recipe's rest is not over".to_owned(),
        (Wait::Recoat, _) => {
            format!("{} is not over", time_of("shortest time after the coat", origin))
        }
        (Wait::Soak, _) => format!("{} is not over", time_of("shortest soak", origin)),
        (Wait::Cure, None) => format!("{} is not reached", time_of("cure time", origin)),
        (Wait::Cure, Some(finish)) => {
            format!("{} is not over ({})", time_of("rest", origin), rest_not_cure(finish))
        }
    }
}

/// Why a lot may not ship yet: "is not cured: the sheet's cure time is reached".
pub(crate) fn not_cured(origin: &Origin) -> String {
    match &origin.only_rests {
        None => format!("is not cured: {} is reached", time_of("cure time", origin)),
        Some(finish) => {
            format!("still rests ({}): {} is over", rest_not_cure(finish), time_of("rest", origin))
        }
    }
}

/// "the sheet's cure time", or "the finish class's cure time (common practice)".
pub(crate) fn time_of(noun: &str, origin: &Origin) -> String {
    match &origin.from_class {
        None => format!("the sheet's {noun}"),
        Some(mark) => format!("the finish class's {noun} ({mark})"),
    }
}

/// Why a cure time isn't one.
pub(crate) fn rest_not_cure(finish: &str) -> String {
    format!("{finish} does not harden: a rest, not a cure")
}
