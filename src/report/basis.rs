//! What a wait rests on, in words: the sheet, or common practice where the sheet is silent; a cure, or only a rest.

use crate::shop::basis::Basis;
use crate::shop::refusal::Wait;

/// What is not over yet: "the sheet's cure time is not reached".
pub fn not_over(wait: Wait, basis: &Basis) -> String {
    let whose = whose(basis);
    match (wait, &basis.only_rests) {
        (Wait::Rest, _) => "the recipe's rest is not over".to_owned(),
        (Wait::Recoat, _) => format!("{whose} shortest time after the coat is not over"),
        (Wait::Soak, _) => format!("{whose} shortest soak is not over"),
        (Wait::Cure, None) => format!("{whose} cure time is not reached"),
        (Wait::Cure, Some(finish)) => {
            format!("{whose} rest is not over ({})", rest_not_cure(finish))
        }
    }
}

/// "the sheet's", or "the class's (common practice)".
pub fn whose(basis: &Basis) -> String {
    match &basis.from_class {
        None => "the sheet's".to_owned(),
        Some(mark) => format!("the finish class's ({mark})"),
    }
}

/// Why a cure time is none.
pub fn rest_not_cure(finish: &str) -> String {
    format!("{finish} does not harden: a rest, not a cure")
}
