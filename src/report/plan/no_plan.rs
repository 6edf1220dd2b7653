//! Why there is no plan, in words.

use crate::plan::shop_plan::NoPlan;
use crate::report::refusal::{Sentence, quoted, say};
use crate::shop::Count;
use crate::shop::plan::{NotPlanned, WhyNot};

/// Minutes of a day.
const DAY: i64 = 1440;

/// The rule's short name, for JSON.
pub(crate) fn rule(none: &NoPlan) -> &'static str {
    match none {
        NoPlan::NoSetup => "no-setup",
        NoPlan::NoRack { .. } => "fits-nowhere",
        NoPlan::NotPlanned(lot) => match lot.why {
            WhyNot::TooMany { .. } => "fits-nowhere",
            WhyNot::NeverDries { .. } => "never-dry",
        },
        NoPlan::AllDone { .. } => "all-done",
        NoPlan::Held { .. } => "held",
        NoPlan::NoHours => "no-open-hours",
        NoPlan::NoPlace { .. } => "no-place",
        NoPlan::Impossible => "no-plan",
        NoPlan::NotFound => "no-plan-found",
        NoPlan::Faulty(_) => "program-fault",
    }
}

/// Why no rack will do for a lot, and what would help.
pub(super) fn not_planned(NotPlanned { lot, batch, to_start, why, .. }: &NotPlanned) -> Sentence {
    let (wanted, most) = match why {
        WhyNot::NeverDries { finish, rooms, elsewhere, warm } => {
            let rooms = if rooms.is_empty() { "its room".to_owned() } else { rooms.join(", ") };
            let days = Count((warm + DAY - 1) / DAY, "day");
            if let [rack, ..] = &elsewhere[..] {
                let (racks, rack) = (elsewhere.join(" or "), quoted(rack));
                return say(
                    format!(
                        "{finish} never dries or cures in {rooms} as the rooms are taken to be, too cold or too damp; on {racks} it \
                         would"
                    ),
                    format!("carry it there: tackfree lot move {lot} --rack {rack}"),
                );
            }
            return say(
                format!(
                    "{finish} never dries or cures in {rooms} as the rooms are taken to be, too cold or too damp; at the \
                     sheet's temperature it takes {days}"
                ),
                "warm the room or dry its air, and read it: tackfree climate add ROOM --temp … --humidity …",
            );
        }
        WhyNot::TooMany { wanted, most } => (wanted, *most),
    };
    let does = if wanted == "dry" { "drying" } else { "curing" };
    let slots = Count(most, "slot");
    match (most, to_start) {
        (0, _) => say(
            format!("no {does} rack has that many slots left"),
            "release or ship what is held, or add a rack to the setup",
        ),
        (_, true) => say(
            format!("no {does} rack that will do has more than {slots} left"),
            format!("start fewer: tackfree lot start {batch} --pieces {most}"),
        ),
        (_, false) => say(
            format!("no {does} rack that will do has more than {slots} left"),
            format!("part it: tackfree lot split {lot} --pieces {most}"),
        ),
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
        NoPlan::Held { batch } => say(
            format!("{batch} has no date: what it still needs is held"),
            format!("see why: tackfree batch show {batch}, then: tackfree lot release LOT"),
        ),
        NoPlan::AllDone { batch } => say(
            format!(
                "{batch} has no date to come: as many pieces as were promised are ready, or have left"
            ),
            format!("see them: tackfree batch show {batch}"),
        ),
        NoPlan::NotPlanned(unfit) => {
            let Sentence { message, next } = not_planned(unfit);
            say(format!("{} ({}) can't be planned: {message}", unfit.lot, unfit.pieces), next)
        }
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
