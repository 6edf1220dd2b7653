//! Why the shop's rules refuse an entry, as data; the sentences are made in `report`.

use crate::shop::air::Unfit;
use crate::shop::cure::Ground;
use crate::shop::entry::{EntryId, SubjectKind};
use crate::shop::name::LotName;
use crate::shop::origin::Origin;
use crate::shop::stage::Stage;
use crate::time::Instant;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
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

/// A rule that stood against an entry.
#[derive(Debug, Clone, PartialEq)]
pub enum Refusal {
    /// No setup is stored yet.
    NoSetup,
    /// Nothing of that name.
    Unknown {
        what: &'static str,
        name: String,
        /// The names there are, the nearest first.
        known: Vec<String>,
        /// Whether the first of them was probably meant.
        near: bool,
    },
    /// Something of that name is or was there.
    NameTaken {
        /// Batch or can.
        what: SubjectKind,
        name: String,
    },
    /// It lies in the future.
    Future {
        at: Instant,
        now: Instant,
    },
    /// The room's log has another reading of the same moment.
    ReadAlready {
        room: String,
        at: Instant,
        /// What it reads, in words.
        said: String,
        /// The entry that brought it.
        entry: EntryId,
    },
    /// It lies before the last thing recorded of the same lot, batch or can.
    BeforeLast {
        subject: String,
        at: Instant,
        /// The last thing's time.
        last: Instant,
    },
    /// Another step is next.
    WrongStep {
        lot: LotName,
        /// The step asked for, from 1, with its name.
        asked: (u32, String),
        next: (u32, String),
    },
    NoStepLeft {
        lot: LotName,
    },
    /// A step was already begun.
    AlreadyBegun {
        lot: LotName,
        /// The step's name.
        step: String,
        since: Instant,
    },
    /// A wait is not over.
    TooSoon {
        lot: LotName,
        /// What can't be done yet.
        step: String,
        /// When it can; `None` where the room as it is never lets it come.
        earliest: Option<Instant>,
        at: Instant,
        wait: Wait,
        /// How far that rests on readings.
        ground: Ground,
        /// Where it comes from.
        origin: Box<Origin>,
    },
    /// A recoat window has shut.
    Shut {
        lot: LotName,
        step: String,
        since: Instant,
        at: Instant,
        /// The grit the recipe rubs with, if it does.
        grit: Option<String>,
        /// Where the window comes from.
        origin: Box<Origin>,
    },
    /// The room's air speaks against a coat.
    RoomUnfit {
        lot: LotName,
        step: String,
        unfit: Unfit,
    },
    /// The last touch test found it still grabbing.
    Grabs {
        lot: LotName,
        stage: Stage,
        tested: Instant,
    },
    /// A first coat needs a rack.
    NoRack {
        lot: LotName,
        step: String,
        /// Racks with room for it.
        with_room: Vec<String>,
    },
    /// Not enough slots.
    Full {
        rack: String,
        slots: u32,
        /// Pieces on it at the fullest from then on.
        taken: u32,
        /// Slots wanted.
        wanted: u32,
        /// Racks of the same use that have room.
        with_room: Vec<String>,
    },
    /// The rack is not for that.
    WrongRack {
        lot: LotName,
        rack: String,
        /// What the lot does there: "dry" or "cure".
        wanted: &'static str,
        /// Racks of the right use that have room.
        with_room: Vec<String>,
    },
    /// Nothing stands on the rack named.
    RackEmpty {
        rack: String,
    },
    /// The can is past its time.
    CanPast {
        can: String,
        kept_until: Instant,
    },
    /// The can holds something else.
    CanOfOther {
        can: String,
        holds: String,
        /// What the step wants.
        wanted: String,
    },
    /// No can of that finish is open.
    NoCan {
        finish: String,
    },
    /// Several are.
    WhichCan {
        finish: String,
        /// Their names.
        cans: Vec<String>,
    },
    /// A can was named for a step that isn't a coat.
    NoCoat {
        lot: LotName,
        step: String,
    },
    /// The lot waits for a decision.
    Held {
        lot: LotName,
        why: String,
        since: Instant,
    },
    /// The lot is not held.
    NotHeld {
        lot: LotName,
    },
    /// The lot has no coat on it to touch.
    NothingToTouch {
        lot: LotName,
    },
    /// Not cured.
    Uncured {
        lot: LotName,
        /// Whether its last coat is still to come.
        coats_left: bool,
        /// When it will be; none before its last coat, or where the room as it is never lets it come.
        ready_at: Option<Instant>,
        at: Instant,
        /// How far that rests on readings.
        ground: Ground,
        /// Where it comes from.
        origin: Box<Origin>,
    },
    /// Cured, but not looked over.
    Uninspected {
        lot: LotName,
        /// The step still to do.
        step: String,
    },
    /// Cured and inspected, but a later step is still to do.
    StepsLeft {
        lot: LotName,
        /// The step still to do.
        step: String,
    },
    /// More pieces asked for than there are.
    TooFew {
        lot: LotName,
        pieces: u32,
        /// Pieces asked for.
        asked: u32,
    },
    /// Fewer pieces promised than have left.
    ShippedMore {
        batch: String,
        shipped: u32,
        asked: u32,
    },
    /// The lot goes by another recipe than the batch.
    OtherRecipe {
        lot: LotName,
        recipe: String,
        batch: String,
        /// The batch's recipe.
        wanted: String,
    },
    /// The step is not behind the lot.
    NotBehind {
        lot: LotName,
        step: u32,
        /// The steps behind it, with their numbers.
        behind: Vec<String>,
    },
    /// Pieces can't have failed at a step that is still to come.
    NotReached {
        lot: LotName,
        step: u32,
        /// The steps reached, with their numbers.
        reached: Vec<String>,
    },
    /// Said to have been done, and not before the step the lot begins with.
    NotBefore {
        step: u32,
        from: u32,
    },
    /// They don't stand at the same step of the same recipe, or one is begun.
    CannotJoin {
        lot: LotName,
        from: LotName,
    },
    /// Pieces of it came back.
    CameBack {
        shipment: EntryId,
    },
    /// More pieces than are away.
    NotSent {
        shipment: EntryId,
        lot: LotName,
        away: u32,
        asked: u32,
    },
    /// None asked for.
    NoPieces,
    /// A split must leave pieces on both sides.
    SplitAll {
        lot: LotName,
        pieces: u32,
    },
    /// The lot has no pieces any more, or the batch is closed.
    Over {
        /// Lot or batch.
        what: SubjectKind,
        name: String,
    },
    /// The batch has pieces in hand.
    LotsOpen {
        batch: String,
        lots: Vec<LotName>,
    },
    /// No rags are open.
    NoRags,
    /// What is said to have become of rags lets them catch fire.
    RagsCanBurn,
    /// No entry of that number.
    NoEntry {
        entry: EntryId,
    },
    /// Nothing to take back.
    NothingToVoid,
    /// It is taken back already.
    VoidedAlready {
        entry: EntryId,
        /// The entry that took it back.
        by: EntryId,
    },
    /// An entry of this kind can't be taken back.
    NotVoidable {
        entry: EntryId,
        word: &'static str,
    },
    /// Later entries stand on it.
    StoodOn {
        entry: EntryId,
        /// The later ones, with their kind and what they are about.
        later: Vec<(EntryId, String)>,
    },
    /// A setup would take away what is in use.
    InUse {
        /// Rack, finish, room.
        what: &'static str,
        name: String,
        /// By whom.
        by: Vec<String>,
    },
    /// A setup would make a rack smaller than what stands on it.
    RackTooSmall {
        rack: String,
        /// The slots it would have.
        slots: u32,
        /// What stands on it.
        taken: u32,
    },
}

impl Refusal {
    /// The rule's short name, stable for scripts.
    pub const fn rule(&self) -> &'static str {
        match self {
            Self::NoSetup => "no-setup",
            Self::Unknown { .. } => "unknown-name",
            Self::NameTaken { .. } => "name-taken",
            Self::Future { .. } => "future-time",
            Self::ReadAlready { .. } => "read-already",
            Self::BeforeLast { .. } => "before-last-entry",
            Self::WrongStep { .. } => "wrong-step",
            Self::NoStepLeft { .. } => "no-step-left",
            Self::AlreadyBegun { .. } => "already-begun",
            Self::TooSoon { .. } => "too-early",
            Self::Shut { .. } => "window-shut",
            Self::RoomUnfit { .. } => "room-unfit",
            Self::Grabs { .. } => "still-grabs",
            Self::NoRack { .. } => "no-rack",
            Self::Full { .. } => "too-few-slots",
            Self::WrongRack { .. } => "wrong-rack",
            Self::RackEmpty { .. } => "rack-empty",
            Self::CanPast { .. } => "can-past-its-time",
            Self::CanOfOther { .. } => "other-finish",
            Self::NoCan { .. } => "no-can",
            Self::WhichCan { .. } => "which-can",
            Self::NoCoat { .. } => "no-coat",
            Self::Held { .. } => "held",
            Self::NotHeld { .. } => "not-held",
            Self::NothingToTouch { .. } => "nothing-to-touch",
            Self::Uncured { .. } => "uncured",
            Self::Uninspected { .. } => "uninspected",
            Self::StepsLeft { .. } => "steps-left",
            Self::TooFew { .. } => "too-few-pieces",
            Self::ShippedMore { .. } => "shipped-more",
            Self::OtherRecipe { .. } => "other-recipe",
            Self::NotBehind { .. } => "not-behind",
            Self::NotReached { .. } => "not-reached",
            Self::NotBefore { .. } => "not-before",
            Self::CannotJoin { .. } => "cannot-join",
            Self::CameBack { .. } => "came-back",
            Self::NotSent { .. } => "not-sent",
            Self::NoPieces => "no-pieces",
            Self::SplitAll { .. } => "split-all",
            Self::Over { .. } => "over",
            Self::LotsOpen { .. } => "lots-open",
            Self::NoRags => "no-rags",
            Self::RagsCanBurn => "rags-can-burn",
            Self::NoEntry { .. } => "no-entry",
            Self::NothingToVoid => "nothing-to-undo",
            Self::VoidedAlready { .. } => "undone-already",
            Self::NotVoidable { .. } => "not-undoable",
            Self::StoodOn { .. } => "stood-on",
            Self::InUse { .. } => "in-use",
            Self::RackTooSmall { .. } => "rack-too-small",
        }
    }
}
