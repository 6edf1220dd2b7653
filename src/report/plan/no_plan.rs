//! Why there is no plan, in words.

use crate::plan::shop_plan::NoPlan;
use crate::report::refusal::Sentence;
use crate::shop::Count;

/// The rule's short name, for JSON.
pub(crate) fn rule(none: &NoPlan) -> &'static str {
    match none {
        NoPlan::NoSetup => "no-setup",
        NoPlan::NoRack { .. } => "fits-nowhere",
        NoPlan::NeverDry { .. } => "never-dry",
        NoPlan::NoHours => "no-open-hours",
        NoPlan::NoPlace { .. } => "no-place",
        NoPlan::Impossible => "no-plan",
        NoPlan::NotFound => "no-plan-found",
        NoPlan::Faulty(_) => "program-fault",
    }
}

/// What stands against a plan, and what to do next.
pub(crate) fn sentence(none: &NoPlan) -> Sentence {
    let (message, next) = match none {
        NoPlan::NoSetup => (
            "no setup is stored yet".to_owned(),
            "write one with: tackfree setup new shop.toml, then: tackfree setup load shop.toml".to_owned(),
        ),
        NoPlan::NoRack { lot, pieces } => (
            format!("{lot} finds no rack with room for {}: held lots keep their slots", Count(*pieces, "piece")),
            "release or ship what is held, split the lot, or add a rack to the setup".to_owned(),
        ),
        NoPlan::NeverDry { lot } => (
            format!("{lot} never gets through its rests while the room stays as cold or damp as it is"),
            "warm or dry the room, and record it: tackfree climate add ROOM --temp … --humidity …".to_owned(),
        ),
        NoPlan::NoHours => (
            "the shop is not open on any day to come".to_owned(),
            "give it open hours in the setup file, under [shop.hours], then: tackfree setup load shop.toml".to_owned(),
        ),
        NoPlan::NoPlace { lot, step } => (
            format!("{lot}: {step} finds no time in the open hours of the next three years"),
            "look at the open hours and closed days: a coat has to fit into one open stretch; smaller lots take less time".to_owned(),
        ),
        NoPlan::Impossible => (
            "every order of the steps was tried: none keeps the longest waits".to_owned(),
            "look at what is under way: tackfree due".to_owned(),
        ),
        NoPlan::NotFound => (
            "no plan was found, and none was proved impossible".to_owned(),
            "try longer: tackfree plan --effort 100000".to_owned(),
        ),
        NoPlan::Faulty(fault) => (
            format!("this is a fault in tackfree, not in your shop: it can't plan this ({fault})"),
            "go by the steps' own windows meanwhile: tackfree due; and report it with a copy of the database".to_owned(),
        ),
    };
    Sentence { message, next }
}
