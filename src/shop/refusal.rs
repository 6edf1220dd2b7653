//! Why the shop's rules refuse an entry, as data; the sentences are made in `report`.

use serde::Serialize;

use crate::shop::air::Unfit;
use crate::shop::cure::Ground;
use crate::shop::origin::Origin;
use crate::shop::stage::Stage;
use crate::shop::{EntryId, LotName, SubjectKind};
use crate::time::Instant;

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Wait {
    /// The recipe asks for it after the step before.
    Rest,
    /// The sheet's shortest time between coats.
    Recoat,
    /// The sheet's cure.
    Cure,
    /// The sheet's shortest soak.
    Soak,
}

/// Each rule by its short name, which is stable for scripts, and what it knows when it stands against an entry.
macro_rules! rules {
    ($($(#[$doc:meta])* $rule:literal $name:ident
        $({ $($(#[$of:meta])* $field:ident: $kind:ty),+ $(,)? })?;)+
    ) => {
        /// A rule that stood against an entry.
        #[derive(Debug, Clone, PartialEq)]
        pub enum Refusal {
            $($(#[$doc])* $name $({ $($(#[$of])* $field: $kind),+ })?,)+
        }

        impl Refusal {
            pub const RULES: &[&str] = &[$($rule),+];

            /// The rule's short name.
            pub const fn rule(&self) -> &'static str {
                match self {
                    $(Self::$name { .. } => $rule,)+
                }
            }
        }
    };
}

rules! {
    /// No setup is stored yet.
    "no-setup" NoSetup;
    /// Nothing of that name.
    "unknown-name" Unknown {
        what: &'static str, name: String,
        /// The names there are, the nearest first.
        known: Vec<String>,
        /// Whether the first of them was probably meant.
        near: bool,
    };
    /// Something of that name is or was there.
    "name-taken" NameTaken {
        /// Batch or can.
        what: SubjectKind,
        name: String,
    };
    /// It lies in the future.
    "future-time" Future { at: Instant, now: Instant };
    /// The room's log has another reading of the same moment.
    "read-already" ReadAlready {
        room: String, at: Instant,
        /// What it reads, in words.
        said: String,
        /// The entry that brought it.
        entry: EntryId,
    };
    /// It lies before the last thing recorded of the same lot, batch or can.
    "before-last-entry" BeforeLast { subject: String, at: Instant, last: Instant };
    /// Another step is next.
    "wrong-step" WrongStep {
        lot: LotName,
        /// The step asked for, from 1, with its name.
        asked: (u32, String),
        next: (u32, String),
    };
    "no-step-left" NoStepLeft { lot: LotName };
    /// A step was already begun.
    "already-begun" AlreadyBegun { lot: LotName, step: String, since: Instant };
    /// A wait is not over.
    "too-early" TooSoon {
        lot: LotName, step: String,
        /// When it can; `None` where the room as it is never lets it come.
        earliest: Option<Instant>,
        at: Instant, wait: Wait, ground: Ground, origin: Box<Origin>,
    };
    /// A recoat window has shut.
    "window-shut" Shut {
        lot: LotName, step: String, since: Instant, at: Instant,
        /// The grit the recipe rubs with, if it does.
        grit: Option<String>,
        origin: Box<Origin>,
    };
    /// The room's air speaks against a coat.
    "room-unfit" RoomUnfit { lot: LotName, step: String, unfit: Unfit };
    /// The last touch test found it still grabbing.
    "still-grabs" Grabs { lot: LotName, stage: Stage, tested: Instant };
    /// A first coat needs a rack.
    "no-rack" NoRack {
        lot: LotName, step: String,
        /// Racks with room for it.
        with_room: Vec<String>,
    };
    /// Not enough slots.
    "too-few-slots" Full {
        rack: String, slots: u32,
        /// Pieces on it at the fullest from then on.
        taken: u32,
        wanted: u32,
        /// Racks of the same use that have room.
        with_room: Vec<String>,
    };
    /// The rack is not for that.
    "wrong-rack" WrongRack {
        lot: LotName, rack: String,
        /// What the lot does there: "dry" or "cure".
        wanted: &'static str,
        /// Racks of the right use that have room.
        with_room: Vec<String>,
    };
    /// Nothing stands on the rack named.
    "rack-empty" RackEmpty { rack: String };
    /// The can is past its time.
    "can-past-its-time" CanPast { can: String, kept_until: Instant };
    /// The can holds something else.
    "other-finish" CanOfOther { can: String, holds: String, wanted: String };
    /// No can of that finish is open.
    "no-can" NoCan { finish: String };
    /// Several are.
    "which-can" WhichCan { finish: String, cans: Vec<String> };
    /// A can was named for a step that isn't a coat.
    "no-coat" NoCoat { lot: LotName, step: String };
    /// The lot waits for a decision.
    "held" Held { lot: LotName, why: String, since: Instant };
    /// The lot is not held.
    "not-held" NotHeld { lot: LotName };
    /// The lot has no coat on it to touch.
    "nothing-to-touch" NothingToTouch { lot: LotName };
    /// Not cured.
    "uncured" Uncured {
        lot: LotName,
        /// Whether its last coat is still to come.
        coats_left: bool,
        /// When it will be; none before its last coat, or where the room as it is never lets it come.
        ready_at: Option<Instant>,
        at: Instant, ground: Ground, origin: Box<Origin>,
    };
    /// Cured, but not looked over.
    "uninspected" Uninspected { lot: LotName, step: String };
    /// Cured and inspected, but a later step is still to do.
    "steps-left" StepsLeft { lot: LotName, step: String };
    /// More pieces asked for than there are.
    "too-few-pieces" TooFew { lot: LotName, pieces: u32, asked: u32 };
    /// Fewer pieces promised than have left.
    "shipped-more" ShippedMore { batch: String, shipped: u32, asked: u32 };
    /// The lot goes by another recipe than the batch.
    "other-recipe" OtherRecipe { lot: LotName, recipe: String, batch: String, wanted: String };
    /// The step is not behind the lot.
    "not-behind" NotBehind {
        lot: LotName, step: u32,
        /// The steps behind it, with their numbers.
        behind: Vec<String>,
    };
    /// Pieces can't have failed at a step that is still to come.
    "not-reached" NotReached {
        lot: LotName, step: u32,
        /// The steps reached, with their numbers.
        reached: Vec<String>,
    };
    /// Said to have been done, and not before the step the lot begins with.
    "not-before" NotBefore { step: u32, from: u32 };
    /// They don't stand at the same step of the same recipe, or one is begun.
    "cannot-join" CannotJoin { lot: LotName, from: LotName };
    /// Pieces of it came back.
    "came-back" CameBack { shipment: EntryId };
    /// More pieces than are away.
    "not-sent" NotSent { shipment: EntryId, lot: LotName, away: u32, asked: u32 };
    /// None asked for.
    "no-pieces" NoPieces;
    /// A split must leave pieces on both sides.
    "split-all" SplitAll { lot: LotName, pieces: u32 };
    /// The lot has no pieces any more, or the batch is closed.
    "over" Over {
        /// Lot or batch.
        what: SubjectKind,
        name: String,
    };
    /// The batch has pieces in hand.
    "lots-open" LotsOpen { batch: String, lots: Vec<LotName> };
    /// No rags are open.
    "no-rags" NoRags;
    /// What is said to have become of rags lets them catch fire.
    "rags-can-burn" RagsCanBurn;
    /// No entry of that number.
    "no-entry" NoEntry { entry: EntryId };
    /// Nothing to take back.
    "nothing-to-undo" NothingToVoid;
    /// It is taken back already.
    "undone-already" VoidedAlready {
        entry: EntryId,
        /// The entry that took it back.
        by: EntryId,
    };
    /// An entry of this kind can't be taken back.
    "not-undoable" NotVoidable { entry: EntryId, word: &'static str };
    /// Later entries stand on it.
    "stood-on" StoodOn {
        entry: EntryId,
        /// The later ones, with their kind and what they are about.
        later: Vec<(EntryId, String)>,
    };
    /// A setup would take away what is in use.
    "in-use" InUse {
        /// Rack, finish, room.
        what: &'static str,
        name: String, by: Vec<String>,
    };
    /// A setup would make a rack smaller than what stands on it.
    "rack-too-small" RackTooSmall { rack: String, slots: u32, taken: u32 };
}
