//! Spares: the fewest pieces to start so that enough good ones come out, from the scrap seen so far.
//!
//! With k scrap of n seen at a stage and a prior Beta(a, b) on its scrap rate, the scrap among m further pieces is
//! beta-binomial (m, a + k, b + n − k); stage follows stage. Textbook formulae, from memory, checked against a statistics library.

use schemars::JsonSchema;
use serde::Serialize;

use crate::units::{OutOfRange, Sureness};

/// The most good pieces one question may ask for.
pub(crate) const MOST_PIECES: u32 = 100_000;

/// The most spares an answer may name; beyond that the scrap is too high to promise anything.
pub(crate) const MOST_SPARES: u32 = 5_000;

/// Two chances closer than this are the same.
const SAME_CHANCE: f64 = 1e-10;

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SparesError {
    #[error("{scrap} scrap of {of} pieces seen is not possible")]
    MoreScrapThanSeen {
        scrap: u32,
        /// Pieces seen.
        of: u32,
    },
    #[error("{pieces} pieces are too many to reckon spares for: expected at most {MOST_PIECES}")]
    TooManyPieces {
        /// Asked for.
        pieces: u64,
    },
    #[error(
        "more than {MOST_SPARES} spares for {need} good pieces: the scrap seen is too high to be {} % sure",
        .sure.get()
    )]
    TooManySpares {
        /// Good pieces.
        need: u32,
        sure: Sureness,
    },
    #[error("0 pieces from one blank is not possible")]
    NoBlank,
    /// Not a quantity.
    #[error(transparent)]
    Quantity(#[from] OutOfRange),
}

/// Scrap seen so far at a stage.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, JsonSchema, Serialize)]
pub struct Seen {
    scrap: u32,
    of: u32,
}

impl Seen {
    /// So many scrap of so many judged.
    pub fn new(scrap: u32, of: u32) -> Result<Self, SparesError> {
        if scrap > of || of > MOST_PIECES.saturating_mul(10) {
            return Err(if scrap > of {
                SparesError::MoreScrapThanSeen { scrap, of }
            } else {
                SparesError::TooManyPieces { pieces: of.into() }
            });
        }
        Ok(Self { scrap, of })
    }

    pub const fn scrap(self) -> u32 {
        self.scrap
    }

    /// Pieces judged.
    pub const fn of(self) -> u32 {
        self.of
    }
}

/// One stage of the work, and the pieces that have come as far and not passed it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct Stage {
    pub seen: Seen,
    /// Pieces already started that have this stage and those after it before them.
    pub waiting: u32,
}

/// What is believed of the scrap rate before anything is seen: Beta(a, b), worth a + b pieces.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Prior {
    pub a: f64,
    pub b: f64,
}

impl Prior {
    /// Beta(1, 19): 5 % scrap over the whole of the work, worth 20 pieces. A choice, no source: name it while it matters.
    pub const USUAL: Self = Self { a: 1.0, b: 19.0 };

    /// How many pieces it is worth.
    pub(crate) const fn weight(self) -> f64 {
        self.a + self.b
    }

    /// The share of one of so many stages: the same weight, the scrap divided, so that the whole work keeps about its rate.
    fn over(self, stages: f64) -> Self {
        let a = self.a / stages.max(1.0);
        Self { a, b: self.weight() - a }
    }

    /// What a stage's scrap follows once something was seen.
    fn after(self, seen: Seen) -> Scrap {
        Scrap { a: self.a + f64::from(seen.scrap), b: self.b + f64::from(seen.of - seen.scrap) }
    }
}

/// How many to start, and how sure that makes it.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct Start {
    /// Pieces to start beside those already started.
    pub pieces: u32,
    /// Pieces beyond the good ones needed, those already started included.
    pub spares: u32,
    /// The chance that enough come out, 0 to 1.
    pub chance: f64,
    /// The prior's share in what is believed of the stage least seen, 0 to 1: 1 while nothing was seen.
    pub prior_share: f64,
}

/// How scrap among m pieces is spread: beta-binomial.
#[derive(Debug, Clone, Copy)]
struct Scrap {
    a: f64,
    b: f64,
}

impl Scrap {
    /// ln P(no scrap among m).
    fn ln_none(self, m: f64) -> f64 {
        let Self { a, b } = self;
        ln_gamma(m + b) - ln_gamma(m + a + b) + ln_gamma(a + b) - ln_gamma(b)
    }

    /// P(k + 1)/P(k) among m.
    fn next(self, m: f64, k: f64) -> f64 {
        (m - k) * (self.a + k) / ((k + 1.0) * (self.b + m - k - 1.0))
    }
}

/// ln Γ(x) for x > 0: Stirling's series (Abramowitz & Stegun 6.1.41) from 15 on, below that by Γ(x + 1) = x Γ(x).
/// Good to 1e-14 of the larger of 1 and itself; infinite at 0 and, though Γ has values there, below.
pub fn ln_gamma(x: f64) -> f64 {
    if x <= 0.0 {
        return f64::INFINITY;
    }
    let (mut x, mut product) = (x, 1.0);
    while x < 15.0 {
        product *= x;
        x += 1.0;
    }
    let inverse = 1.0 / x;
    let square = inverse * inverse;
    let tail = inverse
        * (1.0 / 12.0
            - square
                * (1.0 / 360.0
                    - square * (1.0 / 1260.0 - square * (1.0 / 1680.0 - square / 1188.0))));
    (x - 0.5) * x.ln() - x + 0.918_938_533_204_672_8 + tail - f64::ln(product)
}

/// The chance that at least `need` good pieces come out of `to_start` new ones and those that wait at the stages.
///
/// Stages in order of the work; none is one stage of which nothing was seen. The prior is that of the whole work, divided
/// among the stages.
pub fn chance(need: u32, to_start: u32, stages: &[Stage], prior: Prior) -> f64 {
    let (laws, waiting) = laws(stages, prior);
    chance_along(need, to_start, &laws, &waiting)
}

fn laws(stages: &[Stage], prior: Prior) -> (Vec<Scrap>, Vec<u32>) {
    let unseen = [Stage::default()];
    let stages = if stages.is_empty() { &unseen } else { stages };
    #[expect(clippy::cast_precision_loss, reason = "a recipe has a handful of stages")]
    let each = prior.over(stages.len() as f64);
    stages.iter().map(|stage| (each.after(stage.seen), stage.waiting)).unzip()
}

/// Carries the chance of each count of scrap from stage to stage, as far as it leaves enough.
fn chance_along(need: u32, to_start: u32, laws: &[Scrap], waiting: &[u32]) -> f64 {
    let total = u64::from(to_start) + waiting.iter().map(|&w| u64::from(w)).sum::<u64>();
    let Some(allowed) = total.checked_sub(u64::from(need)).and_then(|s| usize::try_from(s).ok())
    else {
        return 0.0;
    };
    if need == 0 {
        return 1.0;
    }
    let mut spread = vec![1.0];
    let mut entered = f64::from(to_start);
    for (law, &joins) in laws.iter().zip(waiting) {
        entered += f64::from(joins);
        spread = after_stage(*law, entered, &spread, allowed);
    }
    spread.iter().sum::<f64>().clamp(0.0, 1.0)
}

/// The spread of scrap after a stage, from that before it: of `entered` pieces less the scrap so far some more fall out.
fn after_stage(law: Scrap, entered: f64, before: &[f64], allowed: usize) -> Vec<f64> {
    let mut after: Vec<f64> = Vec::new();
    let mut lost = 0.0;
    for (so_far, &weight) in before.iter().enumerate() {
        let m = entered - lost;
        lost += 1.0;
        if weight < 1e-18 || m < 0.0 {
            continue;
        }
        let (mut ln_chance, mut seen, mut k) = (law.ln_none(m), 0.0, 0.0);
        for place in so_far..=allowed {
            let chance = ln_chance.exp();
            if after.len() <= place {
                after.resize(place + 1, 0.0);
            }
            if let Some(cell) = after.get_mut(place) {
                *cell += weight * chance;
            }
            seen += chance;
            // What is left of the tail is below anything that is compared.
            if k >= m || seen > 1.0 - 1e-14 {
                break;
            }
            ln_chance += law.next(m, k).ln();
            k += 1.0;
        }
    }
    after
}

/// The fewest pieces to start so that at least `need` good ones come out, as sure as asked.
pub fn to_start(
    need: u32,
    stages: &[Stage],
    prior: Prior,
    sure: Sureness,
) -> Result<Start, SparesError> {
    let (laws, waiting) = laws(stages, prior);
    let least = stages.iter().map(|stage| stage.seen.of).min().unwrap_or(0);
    let share = prior.weight() / (prior.weight() + f64::from(least));
    fewest(need, &laws, &waiting, share, sure)
}

fn fewest(
    need: u32,
    laws: &[Scrap],
    waiting: &[u32],
    prior_share: f64,
    sure: Sureness,
) -> Result<Start, SparesError> {
    let on_the_way: u64 = waiting.iter().map(|&w| u64::from(w)).sum();
    if need > MOST_PIECES || on_the_way > u64::from(MOST_PIECES) {
        return Err(SparesError::TooManyPieces { pieces: on_the_way.max(need.into()) });
    }
    let on_the_way = u32::try_from(on_the_way).unwrap_or(MOST_PIECES);
    let enough =
        |pieces: u32| chance_along(need, pieces, laws, waiting) >= sure.get() / 100.0 - SAME_CHANCE;
    let base = need.saturating_sub(on_the_way);
    let (mut short, mut found) = (None, base);
    let mut step = 1;
    while !enough(found) {
        if found - base >= MOST_SPARES {
            return Err(SparesError::TooManySpares { need, sure });
        }
        short = Some(found);
        found = (found + step).min(base + MOST_SPARES);
        step *= 2;
    }
    // More pieces never lower the chance, so the fewest lie between the last that were short and the first that were enough.
    while short.is_some_and(|short| found - short > 1) {
        let middle = short.map_or(found, |short| short + (found - short) / 2);
        if enough(middle) {
            found = middle;
        } else {
            short = Some(middle);
        }
    }
    Ok(Start {
        pieces: found,
        spares: (found + on_the_way).saturating_sub(need),
        chance: chance_along(need, found, laws, waiting),
        prior_share,
    })
}

/// Blanks that so many pieces take: rounded up.
pub fn blanks(pieces: u32, pieces_per_blank: u32) -> Result<u32, SparesError> {
    if pieces_per_blank == 0 {
        Err(SparesError::NoBlank)
    } else {
        Ok(pieces.div_ceil(pieces_per_blank))
    }
}
