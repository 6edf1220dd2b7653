//! The sentence for each rule that refuses, and what to do next.

use crate::report::instead::instead;
use crate::report::origin::{not_cured, not_over, time_of};
use crate::shop::cure::Ground;
use crate::shop::origin::Origin;
use crate::shop::{Count, Refusal, SubjectKind, all_of, one_of};
use crate::time::{Instant, Span, Viewpoint, words};

/// What a refusal says, and what it says to do next.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Sentence {
    /// What happened, and where.
    pub(crate) message: String,
    /// What to do next.
    pub(crate) next: String,
}

pub(crate) fn say(message: impl Into<String>, next: impl Into<String>) -> Sentence {
    Sentence { message: message.into(), next: next.into() }
}

/// The sentence for a refusal.
#[expect(
    clippy::too_many_lines,
    reason = "one arm a rule, and no catch-all: the compiler names a rule without words"
)]
pub(crate) fn sentence(refusal: &Refusal, view: Viewpoint) -> Sentence {
    let when = |at: Instant| words::moment(at, view.now, view.zone);
    let no_sooner = |at: Instant| view.stamp(at).minute_up().moment();
    match refusal {
        Refusal::NoSetup => say(
            "no setup is stored yet",
            "write one with: tackfree setup new shop.toml, then: tackfree setup load shop.toml",
        ),
        Refusal::Unknown { what, name, known, near } => {
            say(format!("there's no {what} {name:?}"), instead(what, known, *near))
        }
        Refusal::NameTaken { what, name } => say(
            format!("there is or was a {what} {name:?} already"),
            "choose another name: the ledger keeps every name for good",
        ),
        Refusal::Future { at, now } => say(
            format!(
                "{} is {} from now: nothing is recorded before it happens",
                when(*at),
                Span::between(*now, *at)
            ),
            "give the time it happened with --at, or leave --at out for now",
        ),
        Refusal::ReadAlready { room, at, said, entry } => say(
            format!("{room} has another reading of {} already: {said}", when(*at)),
            format!("if that one is wrong, take it back first: tackfree undo {entry}"),
        ),
        Refusal::BeforeLast { subject, at, last } => say(
            format!(
                "{} is before the last thing recorded of {subject}, {}",
                when(*at),
                when(*last)
            ),
            if *last > view.now {
                "the computer's clock stands before that: set it right and run this again"
                    .to_owned()
            } else {
                format!(
                    "give a time from {} on, or take the later entry back with: tackfree undo",
                    when(*last)
                )
            },
        ),
        Refusal::TooFew { lot, pieces, asked } => say(
            format!("{lot} has {}, not {asked}", Count(*pieces, "piece")),
            format!("give at most {pieces}"),
        ),
        Refusal::NoPieces => say("no pieces were given", "give at least 1"),
        Refusal::SplitAll { lot, pieces } => say(
            format!("{lot} has {}: a split leaves some on both sides", Count(*pieces, "piece")),
            "give fewer, or move the whole lot: tackfree lot move",
        ),
        Refusal::Over { what, name } => say(
            format!(
                "{what} {name} is {}",
                if *what == SubjectKind::Can {
                    "empty"
                } else {
                    "closed: nothing of it is in hand"
                }
            ),
            match what {
                SubjectKind::Can => "name another can, or open one with: tackfree can open",
                SubjectKind::Batch => "open another with: tackfree batch open",
                _ => "see what is in hand: tackfree lot list",
            },
        ),
        Refusal::LotsOpen { batch, lots } => say(
            format!("{batch} still has pieces in hand: {}", all_of(lots)),
            "ship them or reject them first",
        ),
        Refusal::NoRags => say("no such rags are open", "see which are: tackfree rags"),
        Refusal::RagsCanBurn => say(
            "oily rags in a bin, heap, bag, pocket or stove can catch fire by themselves within hours: these stay open. Smoke, heat or a sharp smell: leave it, get out, call the fire service",
            "put them under water in a lidded metal can, or flat outdoors, then say what was really done: tackfree rags done --how \"soaked, lidded can, taken outside\"",
        ),
        Refusal::InUse { what, name, by } => say(
            format!("{what} {name:?} can't vanish: it is still in use by {}", all_of(by)),
            format!(
                "keep the {what} in the setup until {} over",
                if by.len() == 1 { "that is" } else { "those are" }
            ),
        ),
        Refusal::ShippedMore { batch, shipped, asked } => say(
            format!("{batch}: {shipped} have left the shop, so the order can't be for {asked}"),
            format!("give at least {shipped}"),
        ),
        Refusal::OtherRecipe { lot, recipe, batch, wanted } => say(
            format!("{lot} goes by {recipe}, and {batch} by {wanted}"),
            format!(
                "open a batch for it: tackfree batch open NAME --recipe {} --pieces N",
                quoted(recipe)
            ),
        ),
        Refusal::NotBehind { lot, step, behind } if behind.is_empty() => say(
            format!("{lot} has no step behind it, so it can't go back to step {step}"),
            format!("see where it stands: tackfree lot show {lot}"),
        ),
        Refusal::NotBehind { lot, step, behind } => say(
            format!("{lot} can't go back to step {step}: that isn't a step it has behind it"),
            format!("name one of these with --from-step: {}", behind.join(", ")),
        ),
        Refusal::NotReached { lot, step, reached } => say(
            format!("{lot} hasn't reached step {step}, so nothing failed at it"),
            format!("name one of these with --step: {}", reached.join(", ")),
        ),
        Refusal::NotBefore { step, from } => say(
            format!("step {step} isn't a step that hands do before step {from}"),
            format!("with --did name steps before {from} only, in their order"),
        ),
        Refusal::CannotJoin { lot, from } => say(
            format!(
                "{lot} and {from} don't stand before the same step of the same recipe and batch, both not yet begun"
            ),
            format!("see where they stand: tackfree lot show {lot}; tackfree lot show {from}"),
        ),
        Refusal::CameBack { shipment } => say(
            format!("pieces of shipment {shipment} came back, so it did go"),
            format!(
                "record what else came back: tackfree ship return {shipment} LOT --pieces N --why \"...\""
            ),
        ),
        Refusal::NotSent { shipment, lot, away: 0, .. } => say(
            format!("no pieces of {lot} in shipment {shipment} are still away"),
            format!("see what was in it: tackfree ship show {shipment}"),
        ),
        Refusal::NotSent { shipment, lot, away, asked } => say(
            format!("{away} of {lot} in shipment {shipment} are still away, not {asked}"),
            format!("give at most {away}"),
        ),
        Refusal::TooSoon { lot, step, earliest, at, wait, ground, origin } => {
            let because = not_over(*wait, origin);
            let rests_on = rests_on(*ground, origin);
            match earliest {
                Some(earliest) => say(
                    format!(
                        "{lot}: too early to {step}: {because} for another {}{rests_on}",
                        Span::between(*at, *earliest)
                    ),
                    format!("{step} from {} on", no_sooner(*earliest)),
                ),
                None => never(&format!("{lot}: too early to {step}: {because}")),
            }
        }
        Refusal::Shut { lot, step, since, at, grit, origin } => {
            let grit = grit.as_deref().map_or_else(String::new, |grit| format!(" with {grit}"));
            say(
                format!(
                    "{lot}: too late to {step}: {} closed {}, {} before",
                    time_of("recoat window", origin),
                    when(*since),
                    Span::between(*since, *at)
                ),
                format!(
                    "abrade the film{grit} so that the next coat holds, then record it with --anyway \"abraded{grit}\""
                ),
            )
        }
        Refusal::RoomUnfit { lot, step, unfit } => say(
            format!("{lot}: not yet {step}: {}, read {}", unfit.said(view), when(unfit.read)),
            format!(
                "warm or air {room}, then read it again: tackfree climate add {} --temp … --humidity …",
                quoted(&unfit.room),
                room = unfit.room
            ),
        ),
        Refusal::Grabs { lot, stage, tested } => say(
            format!(
                "{lot} was {stage} when last touched, {}: it waits whatever its age says",
                when(*tested)
            ),
            format!("touch it again and record what you find: tackfree touch {lot} tack-free"),
        ),
        Refusal::Uncured { lot, coats_left: true, .. } => say(
            format!("{lot} is not cured: its last coat is still to come"),
            format!("see what is next: tackfree lot show {lot}"),
        ),
        Refusal::Uncured { lot, ready_at: Some(ready_at), at, ground, origin, .. } => say(
            format!(
                "{lot} {} {}, in {}{}",
                not_cured(origin),
                when(*ready_at),
                Span::between(*at, *ready_at),
                rests_on(*ground, origin)
            ),
            format!("ship it from {} on; see why: tackfree cure {lot}", no_sooner(*ready_at)),
        ),
        Refusal::Uncured { lot, ready_at: None, .. } => never(&format!("{lot} is not cured")),
        Refusal::Uninspected { lot, step } => say(
            format!("{lot} is not inspected: its next step is {step}"),
            format!("inspect it, then: tackfree done {lot}"),
        ),
        Refusal::StepsLeft { lot, step } => say(
            format!("{lot} has a step left before it ships: {step}"),
            format!("do it, then: tackfree done {lot}"),
        ),
        Refusal::WrongStep { lot, asked, next } => say(
            format!("{lot}: step {} ({}) is not the next one", asked.0, asked.1),
            format!(
                "next is step {} ({}): leave --step out{}",
                next.0,
                next.1,
                if asked.0 > next.0 { ", or skip to it with --anyway \"why\"" } else { "" }
            ),
        ),
        Refusal::NoStepLeft { lot } => say(
            format!("{lot} has no step left"),
            format!("ship it: tackfree ship {lot} --to \"…\""),
        ),
        Refusal::AlreadyBegun { lot, step, since } => say(
            format!("{lot}: {step} was begun {}", when(*since)),
            format!("when it is done: tackfree done {lot}"),
        ),
        Refusal::NoCoat { lot, step } => {
            say(format!("{lot}: a can was named, but {step} isn't a coat"), "leave --can out")
        }
        Refusal::Held { lot, why, since } => say(
            format!("{lot} is held since {}: {why}", when(*since)),
            format!("let it go on with: tackfree lot release {lot}"),
        ),
        Refusal::NotHeld { lot } => say(format!("{lot} is not held"), "nothing to release"),
        Refusal::NothingToTouch { lot } => say(
            format!("{lot} has no coat on it yet: nothing to test by touch"),
            format!("see what is next: tackfree lot show {lot}"),
        ),
        Refusal::NoRack { lot, step, with_room } => say(
            format!("{lot} stands on no rack: {step} needs one to dry on"),
            room(with_room, |rack| format!("add --rack {}", quoted(rack))),
        ),
        Refusal::Full { rack, slots, taken, wanted, with_room } => say(
            format!(
                "{rack} has too few slots: {wanted} wanted, {} of {slots} free",
                slots.saturating_sub(*taken)
            ),
            room(with_room, |rack| format!("take --rack {}, or split the lot", quoted(rack))),
        ),
        Refusal::WrongRack { lot, rack, wanted, with_room } => say(
            format!("{rack} is not for pieces that {wanted}, and {lot} does"),
            room(with_room, |rack| format!("take --rack {}", quoted(rack))),
        ),
        Refusal::RackEmpty { rack } => {
            say(format!("nothing stands on {rack}"), "see what stands where: tackfree racks")
        }
        Refusal::RackTooSmall { rack, slots, taken } => say(
            format!("{rack} can't shrink to {}: {taken} stand on it", Count(*slots, "slot")),
            "move or ship some of them first",
        ),
        Refusal::CanPast { can, kept_until } => say(
            format!(
                "can {can} is past its time since {}",
                words::moment(*kept_until, view.now, view.zone)
            ),
            "open another with: tackfree can open, or test a scrap and record it with --anyway \"…\"",
        ),
        Refusal::CanOfOther { can, holds, wanted } => say(
            format!("can {can} holds {holds}, and the step wants {wanted}"),
            format!("name a can of {wanted}"),
        ),
        Refusal::NoCan { finish } => say(
            format!("no can of {finish} is open"),
            format!("record the one you used: tackfree can open {} --name NAME", quoted(finish)),
        ),
        Refusal::WhichCan { finish, cans } => say(
            format!("several cans of {finish} are open"),
            format!("say which with --can {}", one_of(cans)),
        ),
        Refusal::NoEntry { entry } => say(
            format!("there's no entry {entry} about anything open"),
            "see the entries: tackfree ledger list",
        ),
        Refusal::NothingToVoid => {
            say("there is nothing to take back", "see the entries: tackfree ledger list")
        }
        Refusal::VoidedAlready { entry, by } => say(
            format!("entry {entry} is taken back already"),
            format!("to have it back, take that back: tackfree undo {by}"),
        ),
        Refusal::NotVoidable { entry, word } => say(
            format!("entry {entry} ({word}) can't be taken back"),
            "load the setup you want: tackfree setup load FILE",
        ),
        Refusal::StoodOn { entry, later } => {
            let verb = if later.len() == 1 { "stands" } else { "stand" };
            let later = all_of(later.iter().map(|(id, what)| format!("{id} ({what})")));
            say(
                format!("entry {entry} can't be taken back alone: {later} {verb} on it"),
                "take those back first, the latest first",
            )
        }
    }
}

/// What a reckoned moment rests on, where that is not readings alone.
fn rests_on(ground: Ground, origin: &Origin) -> &'static str {
    match (ground, &origin.from_class) {
        (Ground::Readings, _) => "",
        (Ground::PartAssumed, _) => ", part of it assumed: nobody read the room",
        (Ground::Sheet, None) => ", no readings of the room: the sheet's own interval assumed",
        (Ground::Sheet, Some(_)) => ", no readings of the room: that interval assumed",
    }
}

fn never(message: &str) -> Sentence {
    say(
        format!("{message}, and will not be while the room stays as cold or damp as it is"),
        "warm or dry the room, and record it: tackfree climate add ROOM --temp … --humidity …",
    )
}

fn room(with_room: &[String], one: impl Fn(&str) -> String) -> String {
    match with_room {
        [] => {
            "no rack for it has room: move or ship what stands there, or split the lot".to_owned()
        }
        [first, ..] => one(first),
    }
}

/// A name as it is typed in a shell.
pub(crate) fn quoted(name: &str) -> String {
    if name.chars().all(|c| c.is_alphanumeric() || matches!(c, '-' | '_' | '.')) {
        name.to_owned()
    } else {
        format!("{name:?}")
    }
}
