//! Everything that can happen, one kind a file: its data, its word, what it is about, what stands against it, what it does
//! to the shop, and how it is said.

mod batch_cancelled;
mod batch_changed;
mod batch_closed;
mod batch_opened;
mod can_emptied;
mod can_opened;
mod lot_given;
mod lot_held;
mod lot_joined;
mod lot_moved;
mod lot_released;
mod lot_reworked;
mod lot_split;
mod lot_started;
mod noted;
mod pace_timed;
mod pieces_rejected;
mod pieces_returned;
mod plan_kept;
mod rags_dealt_with;
mod readings_added;
mod setup_loaded;
mod shipment_cancelled;
mod shipped;
mod step_begun;
mod step_done;
mod stocked;
mod touched;
mod voided;

use chrono::NaiveDate;
pub use lot_started::Did;
pub use rags_dealt_with::RagsOf;
pub use step_done::CoatLaid;
pub use stocked::StockChange;
pub use touched::CureTest;

// What each kind needs, for the files below.
use crate::shop::Shop;
use crate::shop::count::Count;
use crate::shop::entry::{Entry, EntryId};
use crate::shop::name::LotName;
use crate::shop::refusal::Refusal;
use crate::shop::rule::{Objections, When};
use crate::shop::subject::{Subject, SubjectKind};

/// What every kind of fact knows of itself.
pub(crate) trait Happened {
    /// The word for it, as `ledger list` shows it.
    const WORD: &'static str;

    /// What it is about: whoever reads one of these finds it. `id` is its entry's number.
    fn subjects(&self, id: EntryId) -> Vec<Subject>;

    /// What stands against recording it: `Err` is what nothing can overrule, `Ok` what `--anyway` may.
    fn objections(&self, shop: &Shop, when: When) -> Objections;

    /// What it does to the shop, once accepted. It asks no questions: about something unknown it changes nothing.
    fn apply(&self, shop: &mut Shop, entry: &Entry);

    /// What happened, in words; the shop knows what steps are called.
    fn said(&self, shop: &Shop) -> String;
}

macro_rules! facts {
    ($($file:ident::$kind:ident),+ $(,)?) => {
        $(pub use $file::$kind;)+

        /// One fact, as the ledger holds it.
        #[derive(Debug, Clone, PartialEq)]
        pub enum Fact {
            $($kind($kind),)+
        }

        impl Fact {
            pub const WORDS: &[&str] = &[$($kind::WORD),+];

            /// The word for this kind of fact.
            pub const fn word(&self) -> &'static str {
                match self {
                    $(Self::$kind(_) => $kind::WORD,)+
                }
            }

            /// What it is about, as the entry of that number.
            pub fn subjects(&self, id: EntryId) -> Vec<Subject> {
                match self {
                    $(Self::$kind(fact) => fact.subjects(id),)+
                }
            }

            pub(super) fn objections(&self, shop: &Shop, when: When) -> Objections {
                match self {
                    $(Self::$kind(fact) => fact.objections(shop, when),)+
                }
            }

            pub(super) fn apply(&self, shop: &mut Shop, entry: &Entry) {
                match self {
                    $(Self::$kind(fact) => fact.apply(shop, entry),)+
                }
            }

            /// What happened, in words.
            pub(crate) fn said(&self, shop: &Shop) -> String {
                match self {
                    $(Self::$kind(fact) => fact.said(shop),)+
                }
            }
        }

        $(impl From<$kind> for Fact {
            fn from(fact: $kind) -> Self {
                Self::$kind(fact)
            }
        })+
    };
}

facts! {
    setup_loaded::SetupLoaded,
    can_opened::CanOpened,
    can_emptied::CanEmptied,
    batch_opened::BatchOpened,
    batch_changed::BatchChanged,
    batch_cancelled::BatchCancelled,
    batch_closed::BatchClosed,
    lot_started::LotStarted,
    lot_split::LotSplit,
    lot_joined::LotJoined,
    lot_given::LotGiven,
    lot_reworked::LotReworked,
    lot_moved::LotMoved,
    lot_held::LotHeld,
    lot_released::LotReleased,
    pieces_rejected::PiecesRejected,
    step_begun::StepBegun,
    step_done::StepDone,
    pace_timed::PaceTimed,
    touched::Touched,
    readings_added::ReadingsAdded,
    rags_dealt_with::RagsDealtWith,
    shipped::Shipped,
    shipment_cancelled::ShipmentCancelled,
    pieces_returned::PiecesReturned,
    noted::Noted,
    stocked::Stocked,
    plan_kept::PlanKept,
    voided::Voided,
}

/// Where it was put, as the end of what is said.
fn on(rack: Option<&String>) -> String {
    rack.map_or_else(String::new, |rack| format!(", on {rack}"))
}

/// What a step of a lot is called; its number where the lot was taken back.
fn step_name(shop: &Shop, lot: &LotName, step: u32) -> String {
    let lot = shop.lots.get(lot);
    lot.map_or_else(|| format!("step {step}"), |lot| lot.recipe.words(step))
}

/// What an order asks for: "132 pieces by three coats for the café, due Fri 27 Mar 2026".
fn ordered(pieces: u32, recipe: &str, due: Option<NaiveDate>, customer: Option<&str>) -> String {
    let customer = customer.map_or_else(String::new, |customer| format!(" for {customer}"));
    let due = due.map_or_else(String::new, |due| format!(", due {}", due.format("%a %-d %b %Y")));
    format!("{}{customer}{due}; recipe {recipe}", Count(pieces, "piece"))
}
