//! Why there is no plan, in words.

use crate::plan::shop_plan::NoPlan;
use crate::report::refusal::{Sentence, say};
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
    match none {
        NoPlan::NoSetup => say(
            "no setup is stored yet",
            "write one with: tackfree setup new shop.toml, then: tackfree setup load shop.toml",
        ),
        NoPlan::NoRack { lot, pieces } => say(
            format!(
                "{lot} finds no rack with room for {}: held lots keep their slots",
                Count(*pieces, "piece")
            ),
            "release or ship what is held, split the lot, or add a rack to the setup",
        ),
        NoPlan::NeverDry { lot } => say(
            format!(
                "{lot} never gets through its rests while the room stays as cold or damp as it is"
            ),
            "warm or dry the room, and record it: tackfree climate add ROOM --temp … --humidity …",
        ),
        NoPlan::NoHours => say(
            "the shop is not open on any day to come",
            "give it open hours in the setup file, under [shop.hours], then: tackfree setup load shop.toml",
        ),
        NoPlan::NoPlace { lot, step } => say(
            format!("{lot}: {step} finds no time in the open hours of the next three years"),
            "look at the open hours and closed days: a coat has to fit into one open stretch; smaller lots take less time",
        ),
        NoPlan::Impossible => say(
            "every order of the steps was tried: none keeps the longest waits",
            "look at what is under way: tackfree due",
        ),
        NoPlan::NotFound => say(
            "no plan was found, and none was proved impossible",
            "try longer: tackfree plan --effort 100000",
        ),
        NoPlan::Faulty(fault) => say(
            format!("this is a fault in tackfree, not in your shop: it can't plan this ({fault})"),
            "go by the steps' own windows meanwhile: tackfree due; and report it with a copy of the database",
        ),
    }
}
