//! A lot: the pieces that move through the recipe together.

use schemars::JsonSchema;
use serde::Serialize;

use crate::shop::fact::CoatLaid;
use crate::shop::setup::{Recipe, Step};
use crate::shop::stage::Stage;
use crate::shop::{Entry, EntryId, LotName};
use crate::time::Instant;

/// What a lot is after its entries so far.
#[derive(Debug, Clone, PartialEq)]
pub struct Lot {
    pub name: LotName,
    /// The recipe it began with.
    pub recipe: Recipe,
    /// That recipe's revision.
    pub(crate) revision: u32,
    /// Pieces in hand.
    pub pieces: u32,
    /// The next step to do, from 1; one past the recipe's last when all are done.
    pub next: u32,
    /// Set while that step is begun and not done.
    pub begun: Option<Instant>,
    /// What was done, in order.
    pub(crate) done: Vec<DoneStep>,
    /// Where it stood since when, and with how many pieces, in order of time.
    pub standing: Vec<Standing>,
    /// Set while it waits for a decision.
    pub held: Option<Held>,
    /// Touch tests, in order.
    pub(crate) touches: Vec<TouchTest>,
    /// What was recorded against the rules.
    pub(crate) flags: Vec<Flag>,
    /// The moment of its last entry.
    pub last_at: Instant,
    pub(crate) split_from: Option<LotName>,
    /// How many of the steps done lie before it was last sent back to be worked again.
    pub(crate) reworked: usize,
    /// Lots that go on in this one, as they were when they joined; where they stand since is kept up.
    pub(crate) joined: Vec<Self>,
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct DoneStep {
    /// The entry that says so.
    pub(crate) entry: EntryId,
    /// The step, from 1.
    pub(crate) step: u32,
    /// Not for a step before the first that was recorded of the lot: then `ended` is when the lot was taken in.
    pub(crate) recorded: bool,
    /// When it was begun, if that was recorded.
    pub(crate) begun: Option<Instant>,
    pub(crate) ended: Instant,
    /// Pieces at that time.
    pub(crate) pieces: u32,
    /// For a coat, what was laid on.
    pub(crate) coat: Option<CoatLaid>,
    /// Hands' time, if said.
    pub(crate) minutes: Option<u32>,
}

/// Where a lot stood from a moment on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Standing {
    pub from: Instant,
    /// On which rack; none is off the racks.
    pub(crate) rack: Option<String>,
    /// With how many pieces.
    pub pieces: u32,
}

/// Why a lot waits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Held {
    pub(crate) since: Instant,
    pub(crate) why: String,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TouchTest {
    pub(crate) at: Instant,
    pub(crate) stage: Stage,
    /// The last step done before it, from 1; 0 before any.
    pub(crate) after: u32,
}

/// Something recorded against the rules; shown wherever the lot is.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema, Serialize)]
pub(crate) struct Flag {
    pub(crate) entry: EntryId,
    /// The step it was recorded for, from 1.
    pub(crate) step: u32,
    /// The rules overruled, by their short names.
    pub(crate) overruled: Vec<String>,
    pub(crate) reason: String,
}

impl Flag {
    /// "window closed, too soon": the rules' short names as words.
    pub(crate) fn rules(&self) -> String {
        self.overruled.join(", ").replace("shut", "closed").replace('-', " ")
    }
}

impl Lot {
    /// The rack it stands on now.
    pub fn rack(&self) -> Option<&str> {
        self.standing.last().and_then(|standing| standing.rack.as_deref())
    }

    /// Since when it stands on its rack, if it does.
    pub(crate) fn on_this_rack_since(&self) -> Option<Instant> {
        let rack = self.rack()?;
        let here = self.standing.iter().rev().take_while(|s| s.rack.as_deref() == Some(rack));
        here.last().map(|standing| standing.from)
    }

    /// The next step that hands do, with its number: a cure is passed over. `None` when all are done.
    pub fn next_step(&self) -> Option<(u32, &Step)> {
        self.recipe.numbered().find(|(number, step)| *number >= self.next && !step.is_cure())
    }

    /// The number of the step a person means: the one asked for, else the next that hands do.
    pub(crate) fn step_meant(&self, asked: Option<u32>) -> u32 {
        asked.unwrap_or_else(|| self.next_step().map_or(self.next, |(step, _)| step))
    }

    /// The last coat laid so far.
    pub(crate) fn last_coat(&self) -> Option<&DoneStep> {
        self.done.iter().rev().find(|done| done.coat.is_some())
    }

    /// The steps done since it was last sent back to be worked again.
    pub(crate) fn done_since(&self) -> &[DoneStep] {
        self.done.get(self.reworked..).unwrap_or_default()
    }

    /// The histories that a wait must be over for: its own, and of the lots that joined it since its last coat theirs.
    pub(crate) fn histories(&self) -> impl Iterator<Item = &Self> {
        let last = self.last_coat().map(|coat| coat.ended);
        let counts = move |part: &&Self| last.is_none_or(|last| last <= part.last_at);
        std::iter::once(self).chain(self.joined.iter().filter(counts))
    }

    /// Whether every coat of the recipe is behind it.
    pub(crate) fn coats_done(&self) -> bool {
        self.recipe.last_coat().is_none_or(|last| last < self.next)
    }

    /// Whether every step is done and it waits to be shipped.
    pub(crate) fn finished(&self) -> bool {
        self.next_step().is_none()
    }

    /// The last touch test since the last step, if the surface still grabbed then.
    pub(crate) fn still_grabs(&self) -> Option<&TouchTest> {
        let last_done = self.done.last().map_or(0, |done| done.step);
        self.touches.last().filter(|test| test.stage.grabs() && test.after >= last_done)
    }

    /// The last touch test, if the surface grabbed then, once every coat is laid: whatever was recorded since, no piece
    /// ships until one passes.
    pub(crate) fn barred_from_shipping(&self) -> Option<&TouchTest> {
        self.touches.last().filter(|test| test.stage.grabs() && self.coats_done())
    }

    /// Pieces on `rack` at `at`.
    pub fn on_rack(&self, rack: &str, at: Instant) -> u32 {
        let then = self.standing.iter().rev().find(|standing| standing.from <= at);
        then.filter(|standing| standing.rack.as_deref() == Some(rack)).map_or(0, |s| s.pieces)
    }

    /// Notes where it stands, with how many pieces, from a moment on.
    pub(super) fn stands(&mut self, from: Instant, rack: Option<String>) {
        for part in &mut self.joined {
            part.standing.push(Standing { from, rack: rack.clone(), pieces: 0 });
        }
        self.standing.push(Standing { from, rack, pieces: self.pieces });
    }

    /// Takes pieces out of it, and frees their slots; a lot without pieces leaves its rack.
    pub(super) fn lose(&mut self, at: Instant, pieces: u32) {
        self.pieces = self.pieces.saturating_sub(pieces);
        let rack = self.rack().map(str::to_owned).filter(|_| self.pieces > 0);
        self.stands(at, rack);
    }

    /// Takes pieces out as a lot of their own with this one's history; they stand on `rack`, else where they stood.
    pub(super) fn part(
        &mut self,
        at: Instant,
        name: &LotName,
        pieces: u32,
        rack: Option<String>,
    ) -> Self {
        let mut part = self.clone();
        let beside = self.rack().map(str::to_owned);
        self.lose(at, pieces);
        part.name = name.clone();
        part.split_from = Some(self.name.clone());
        part.pieces = pieces;
        // Its pieces stood on the rack as the old lot's until now; the age they gathered there is theirs all the same.
        for standing in &mut part.standing {
            standing.pieces = 0;
        }
        part.stands(at, rack.or(beside));
        part
    }

    /// Flags it for good where the entry was recorded against the rules.
    pub(super) fn flag(&mut self, entry: &Entry, step: u32) {
        if let Some(anyway) = &entry.anyway {
            self.flags.push(Flag {
                entry: entry.id,
                step,
                overruled: anyway.overruled.clone(),
                reason: anyway.reason.clone(),
            });
        }
    }
}
