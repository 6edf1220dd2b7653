//! What a wait rests on, in words: the sheet, or common practice where the sheet is silent; a cure, or only a rest.

use crate::shop::origin::Origin;
use crate::shop::refusal::Wait;

/// What is not over yet: "the sheet's cure time is not reached".
pub fn not_over(wait: Wait, origin: &Origin) -> String {
    let whose = whose(origin);
    match (wait, &origin.only_rests) {
        (Wait::Rest, _) => "the recipe's rest is not over".to_owned(),
        (Wait::Recoat, _) => format!("{whose} shortest time after the coat is not over"),
        (Wait::Soak, _) => format!("{whose} shortest soak is not over"),
        (Wait::Cure, None) => format!("{whose} cure time is not reached"),
        (Wait::Cure, Some(finish)) => {
            format!("{whose} rest is not over ({})", rest_not_cure(finish))
        }
    }
}

/// What a lot is not that may not ship yet: "is not cured: the sheet's cure time is reached".
pub fn not_cured(origin: &Origin) -> String {
    let whose = whose(origin);
    match &origin.only_rests {
        None => format!("is not cured: {whose} cure time is reached"),
        Some(finish) => format!("still rests ({}): {whose} rest is over", rest_not_cure(finish)),
    }
}

/// "the sheet's", or "the class's (common practice)".
pub fn whose(origin: &Origin) -> String {
    match &origin.from_class {
        None => "the sheet's".to_owned(),
        Some(mark) => format!("the finish class's ({mark})"),
    }
}

/// Why a cure time is none.
pub fn rest_not_cure(finish: &str) -> String {
    format!("{finish} does not harden: a rest, not a cure")
}
