//! Soak groups: how many pieces can be oiled before the first has to be wiped.
//!
//! One person, a s a piece to apply, b s to wipe, first applied first wiped; group after group. With m = min(a, b),
//! M = max(a, b), and the soak counted from the end of applying to the start of wiping, at least s and at most S:
//! piece i of n soaks (n − 1) a + w + (i − 1)(b − a) after a wait w, linear in i, so only the first and the last piece bind.
//! Derived here and checked against brute force; while a group is not over its largest, no order of actions is quicker.

use chrono::{DateTime, TimeDelta, Utc};
use serde::{Deserialize, Serialize};

/// Why no group can be worked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, thiserror::Error)]
#[serde(rename_all = "snake_case")]
pub enum SoakError {
    #[error(
        "applying and wiping take {apply_s} s and {wipe_s} s: expected at least 0 each and more than 0 together"
    )]
    NoWork {
        /// Applying, s a piece.
        apply_s: i64,
        /// Wiping, s a piece.
        wipe_s: i64,
    },
    #[error("a soak of at least {shortest_s} s and at most {longest_s} s is not possible")]
    NoSoak { shortest_s: i64, longest_s: i64 },
    #[error(
        "one piece takes {needed_s} s to apply, soak and wipe, and the sheet's longest soak is {longest_s} s"
    )]
    TooSlow {
        /// a + s + b.
        needed_s: i64,
        /// S, from the start of applying to the end of wiping.
        longest_s: i64,
    },
}

/// The work and the soak of one coat, whole seconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Soak {
    apply: i64,
    wipe: i64,
    shortest: i64,
    /// From the end of applying to the start of wiping.
    longest: i64,
    /// What a group leaves between the first start of wiping and the last.
    slack: i64,
}

/// The groups that so many pieces make: the fewest, as equal as can be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Groups {
    pub count: u32,
    /// Pieces in the smaller groups.
    pub(crate) smaller: u32,
    /// How many of the groups hold one piece more; these come first.
    pub(crate) larger_count: u32,
    /// Hands at work: n (a + b).
    pub(crate) labour: TimeDelta,
    /// Waiting for the soak with nothing to do: Σ max(0, s − (`n_j` − 1) m).
    pub idle: TimeDelta,
}

/// When the pieces of one group have to be wiped.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct GroupTimes {
    /// Applying ends.
    pub applied: DateTime<Utc>,
    /// Wiping may begin, with the first piece.
    pub wipe_from: DateTime<Utc>,
    /// Wiping must begin by then for all pieces to be off in time, one straight after the other.
    pub wipe_by: DateTime<Utc>,
    /// The first piece must be off.
    pub first_off_by: DateTime<Utc>,
    /// The last piece must be off.
    pub last_off_by: DateTime<Utc>,
}

impl Soak {
    /// The careful reading of a sheet: at least `shortest` from the end of applying to the start of wiping, and at most
    /// `longest` from the START of applying to the END of wiping, that is S − a − b in place of S.
    pub fn careful(
        apply: TimeDelta,
        wipe: TimeDelta,
        shortest: TimeDelta,
        longest: TimeDelta,
    ) -> Result<Self, SoakError> {
        let soak = Self::between_actions(apply, wipe, shortest, longest)?;
        let inner = soak.longest.saturating_sub(soak.apply).saturating_sub(soak.wipe);
        if inner < soak.shortest {
            return Err(SoakError::TooSlow {
                needed_s: soak.apply.saturating_add(soak.wipe).saturating_add(soak.shortest),
                longest_s: soak.longest,
            });
        }
        Ok(Self { longest: inner, ..soak })
    }

    /// Both limits from the end of applying to the start of wiping.
    pub fn between_actions(
        apply: TimeDelta,
        wipe: TimeDelta,
        shortest: TimeDelta,
        longest: TimeDelta,
    ) -> Result<Self, SoakError> {
        let [apply, wipe, shortest, longest] =
            [apply, wipe, shortest, longest].map(|span| span.num_seconds());
        if apply < 0 || wipe < 0 || apply.saturating_add(wipe) <= 0 {
            return Err(SoakError::NoWork { apply_s: apply, wipe_s: wipe });
        }
        if shortest < 0 || longest < shortest {
            return Err(SoakError::NoSoak { shortest_s: shortest, longest_s: longest });
        }
        Ok(Self { apply, wipe, shortest, longest, slack: 0 })
    }

    /// The same with groups that leave so much between the first start of wiping and the last, or as much as the soak has.
    #[must_use]
    pub(crate) fn leaving(self, slack: TimeDelta) -> Self {
        Self { slack: slack.num_seconds().clamp(0, self.longest - self.shortest), ..self }
    }

    /// The most pieces in one group: 1 + floor(min(S/M, (S − s)/(M − m))), the second left out if a = b, with S less the slack
    /// that is left.
    pub fn most_in_a_group(&self) -> u32 {
        let (quick, slow) = (self.apply.min(self.wipe), self.apply.max(self.wipe));
        let longest = self.longest - self.slack;
        let mut more = longest / slow;
        if slow > quick {
            more = more.min((longest - self.shortest) / (slow - quick));
        }
        u32::try_from(more.saturating_add(1)).unwrap_or(u32::MAX)
    }

    /// The least wait between applying and wiping a group of `pieces`: max(0, s − (n − 1) m); `None` if so many are no group.
    pub fn wait(&self, pieces: u32) -> Option<TimeDelta> {
        (pieces >= 1 && pieces <= self.most_in_a_group())
            .then(|| TimeDelta::try_seconds(self.wait_seconds(pieces)))
            .flatten()
    }

    fn wait_seconds(&self, pieces: u32) -> i64 {
        let before = i64::from(pieces) - 1;
        self.shortest.saturating_sub(before.saturating_mul(self.apply.min(self.wipe))).max(0)
    }

    /// The fewest, most equal groups for `pieces`; `None` only where the time overflows.
    ///
    /// Waiting is convex in the size of a group and grows with the number of groups, so this is also the quickest.
    pub fn groups(&self, pieces: u32) -> Option<Groups> {
        let count = pieces.div_ceil(self.most_in_a_group());
        let (smaller, larger_count) = match count {
            0 => (0, 0),
            _ => (pieces / count, pieces % count),
        };
        let labour = i64::from(pieces).checked_mul(self.apply.checked_add(self.wipe)?)?;
        let each = |size: u32, groups: u32| -> Option<i64> {
            if groups == 0 {
                Some(0)
            } else {
                self.wait_seconds(size).checked_mul(i64::from(groups))
            }
        };
        let idle = each(smaller.saturating_add(1), larger_count)?
            .checked_add(each(smaller, count - larger_count)?)?;
        Some(Groups {
            count,
            smaller,
            larger_count,
            labour: TimeDelta::try_seconds(labour)?,
            idle: TimeDelta::try_seconds(idle)?,
        })
    }

    /// When a group of `pieces`, begun at `begun`, has to be wiped; `None` if so many are no group.
    ///
    /// Wiping may begin n a + w after the start and must begin n a + S − (n − 1) M after it, the wait at which the piece with the
    /// longest soak is at its limit. Piece i has to be off a + S + b after its own start, (i − 1) a.
    pub fn times(&self, begun: DateTime<Utc>, pieces: u32) -> Option<GroupTimes> {
        let wait = self.wait(pieces)?.num_seconds();
        let before = i64::from(pieces) - 1;
        let applied = i64::from(pieces).checked_mul(self.apply)?;
        let slack = self.longest - before.checked_mul(self.apply.max(self.wipe))?;
        let off = self.apply.checked_add(self.longest)?.checked_add(self.wipe)?;
        let after = |seconds: i64| begun.checked_add_signed(TimeDelta::try_seconds(seconds)?);
        Some(GroupTimes {
            applied: after(applied)?,
            wipe_from: after(applied.checked_add(wait)?)?,
            wipe_by: after(applied.checked_add(slack)?)?,
            first_off_by: after(off)?,
            last_off_by: after(before.checked_mul(self.apply)?.checked_add(off)?)?,
        })
    }
}

impl Groups {
    /// The pieces of each group, in order.
    pub fn sizes(&self) -> impl Iterator<Item = u32> {
        let Self { count, smaller, larger_count, .. } = *self;
        (0..count).map(move |group| if group < larger_count { smaller + 1 } else { smaller })
    }

    /// From the first application to the last wipe: labour and waiting.
    pub fn wall(&self) -> TimeDelta {
        self.labour.checked_add(&self.idle).unwrap_or(TimeDelta::MAX)
    }

    /// [`Groups::wall`] in minutes, rounded up: what a day's plan has to keep free.
    pub fn minutes(&self) -> i64 {
        let seconds = self.wall().num_seconds();
        seconds / 60 + i64::from(seconds % 60 > 0)
    }
}
