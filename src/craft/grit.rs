//! Grit: FEPA P grades by their median grain, ladders from a starting scratch to a target, and the strips to cut.
//!
//! Medians: FEPA 43-1 and ISO 6344 (P12 to P220 are defined by sieves, the median is the printed average; P240 and finer
//! by sedimentation), as two independent public tables of 2008 and later agree on them. ISO 6344-3:2021 also names P3000 to
//! P5000, for which no median was found: those are refused, not guessed. The standards themselves were not read.

use std::fmt;
use std::str::FromStr;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::time::as_text;

/// The largest ratio of medians in one step of a ladder: 1.7. Passes every step that skips one grade from P20 up (common
/// practice, no source).
pub const LARGEST_STEP: f64 = 1.7;

/// Said with every conversion between systems: they measure grain by sieve, by sedimentation or electrically, which is not the
/// same measure.
pub(crate) const ABOUT: &str = "about: the systems measure grain in different ways";

/// Grade number and median, µm.
const P_GRADES: [(u16, f64); 28] = [
    (12, 1815.0),
    (16, 1324.0),
    (20, 1000.0),
    (24, 764.0),
    (30, 642.0),
    (36, 538.0),
    (40, 425.0),
    (50, 336.0),
    (60, 269.0),
    (80, 201.0),
    (100, 162.0),
    (120, 125.0),
    (150, 100.0),
    (180, 82.0),
    (220, 68.0),
    (240, 58.5),
    (280, 52.2),
    (320, 46.2),
    (360, 40.5),
    (400, 35.0),
    (500, 30.2),
    (600, 25.8),
    (800, 21.8),
    (1000, 18.3),
    (1200, 15.3),
    (1500, 12.6),
    (2000, 10.3),
    (2500, 8.4),
];

/// ANSI B74.18 (CAMI) medians, µm, read on a public table (280 from memory; 800 and 1000 are not in the editions of 2006 and
/// 2016, which end at 600).
const CAMI_GRADES: [(u16, f64); 21] = [
    (24, 708.0),
    (30, 632.0),
    (36, 530.0),
    (40, 425.0),
    (50, 348.0),
    (60, 265.0),
    (80, 190.0),
    (100, 140.0),
    (120, 115.0),
    (150, 92.0),
    (180, 82.0),
    (220, 68.0),
    (240, 53.0),
    (280, 44.0),
    (320, 36.0),
    (360, 28.0),
    (400, 23.0),
    (500, 20.0),
    (600, 16.0),
    (800, 12.6),
    (1000, 10.3),
];

/// JIS R 6001:1987 medians by electrical resistance, µm, read on a public page. For stones and loose grain: Japanese paper
/// bears P grades (JIS R 6010).
const JIS_GRADES: [(u16, f64); 18] = [
    (240, 57.0),
    (280, 48.0),
    (320, 40.0),
    (360, 35.0),
    (400, 30.0),
    (500, 25.0),
    (600, 20.0),
    (700, 17.0),
    (800, 14.0),
    (1000, 11.5),
    (1200, 9.5),
    (1500, 8.0),
    (2000, 6.7),
    (2500, 5.5),
    (3000, 4.0),
    (4000, 3.0),
    (6000, 2.0),
    (8000, 1.2),
];

/// Why a grade, a ladder or a count of strips is refused.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, thiserror::Error)]
#[serde(rename_all = "snake_case")]
pub enum GritError {
    #[error("{found}: no published median found; refused rather than guessed")]
    NoMedian {
        /// As given.
        found: String,
    },
    #[error("{found:?} is not a grade: expected P12 to P2500, such as P180")]
    Unknown {
        /// As given.
        found: String,
    },
    #[error("{to} after {from} runs coarser: a ladder goes to finer grits")]
    Coarser { from: Grade, to: Grade },
    #[error("a strip of {grade} that does 0 pieces is not possible")]
    NoPieces { grade: Grade },
}

/// A FEPA P grade with a published median: P12 to P2500. Coarser grades come first.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, JsonSchema, Serialize, Deserialize,
)]
#[serde(try_from = "String", into = "String")]
pub struct Grade(u16);

impl Grade {
    /// The grade of that number.
    pub(crate) fn new(number: u16) -> Result<Self, GritError> {
        match number {
            3000 | 4000 | 5000 => Err(GritError::NoMedian { found: format!("P{number}") }),
            _ if P_GRADES.iter().any(|&(grade, _)| grade == number) => Ok(Self(number)),
            _ => Err(GritError::Unknown { found: format!("P{number}") }),
        }
    }

    pub(crate) const fn number(self) -> u16 {
        self.0
    }

    /// Its median grain, µm.
    pub fn median(self) -> f64 {
        P_GRADES.iter().find(|&&(grade, _)| grade == self.0).map_or(f64::NAN, |&(_, um)| um)
    }

    /// Every grade, coarsest first.
    pub fn all() -> impl DoubleEndedIterator<Item = Self> + Clone {
        P_GRADES.iter().map(|&(grade, _)| Self(grade))
    }

    /// How much finer `next` cuts: the ratio of the medians.
    pub fn ratio_to(self, next: Self) -> f64 {
        self.median() / next.median()
    }
}

impl fmt::Display for Grade {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("P{}", self.0))
    }
}

impl FromStr for Grade {
    type Err = GritError;
    fn from_str(text: &str) -> Result<Self, GritError> {
        let trimmed = text.trim();
        let number = trimmed.strip_prefix(['P', 'p']).unwrap_or(trimmed);
        let plain = !number.is_empty() && number.bytes().all(|byte| byte.is_ascii_digit());
        match number.parse() {
            Ok(number) if plain => Self::new(number),
            _ => Err(GritError::Unknown { found: text.to_owned() }),
        }
    }
}

as_text!(Grade, |grade| grade.to_string());

/// Another system of grit numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum System {
    /// ANSI B74.18, paper of North America.
    Cami,
    /// JIS R 6001, stones and loose grain.
    Jis,
}

/// What a grade is about, in another system. Never exact: see `ABOUT`.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize, Deserialize)]
pub struct About {
    pub(crate) system: System,
    pub number: u16,
    /// Its median, µm, as that system measures it.
    pub median: f64,
    /// The P grade it lies nearest to by the ratio of medians; `None` where it is finer than P2500 by more than half a step.
    pub nearest: Option<Grade>,
}

impl System {
    const fn grades(self) -> &'static [(u16, f64)] {
        match self {
            Self::Cami => &CAMI_GRADES,
            Self::Jis => &JIS_GRADES,
        }
    }

    /// What the grade of that number is about, if the system has it.
    pub fn about(self, number: u16) -> Option<About> {
        let &(number, median) = self.grades().iter().find(|&&(grade, _)| grade == number)?;
        // Half a step past P2500 as the steps before it run (a ratio of 1.25): finer grain has no P grade near it.
        let nearest = (median >= 7.5).then(|| nearest(&P_GRADES, median)).flatten();
        Some(About { system: self, number, median, nearest: nearest.map(|(p, _)| Grade(p)) })
    }

    /// What a P grade is about in this system; `None` past the system's end.
    pub fn about_grade(self, grade: Grade) -> Option<About> {
        let (number, median) = nearest(self.grades(), grade.median())?;
        let apart = (median / grade.median()).ln().abs();
        (apart <= LARGEST_STEP.ln() / 2.0).then_some(About {
            system: self,
            number,
            median,
            nearest: Some(grade),
        })
    }
}

/// The grade whose median has the least ratio to `median`.
fn nearest(grades: &[(u16, f64)], median: f64) -> Option<(u16, f64)> {
    let apart = |um: f64| (um / median).ln().abs();
    grades.iter().copied().min_by(|a, b| apart(a.1).total_cmp(&apart(b.1)))
}

/// A ladder from the starting scratch to the target: the fewest grades with no step over 1.7 in the ratio of medians, and among
/// those the most even (least sum of squared logarithms of the ratios). No two neighbouring grades are that far apart.
pub fn ladder(from: Grade, to: Grade) -> Result<Vec<Grade>, GritError> {
    if to < from {
        return Err(GritError::Coarser { from, to });
    }
    let grades: Vec<Grade> = Grade::all().filter(|grade| (from..=to).contains(grade)).collect();
    // For each grade the steps and the unevenness of the best way to it, and the grade before it.
    let mut best: Vec<(usize, f64, usize)> = vec![(0, 0.0, 0)];
    for grade in grades.iter().skip(1) {
        let mut found = (usize::MAX, f64::INFINITY, 0);
        for (before, (coarser, way)) in grades.iter().zip(&best).enumerate() {
            let ratio = coarser.ratio_to(*grade);
            if ratio <= LARGEST_STEP {
                let steps = way.0.saturating_add(1);
                let uneven = ratio.ln().mul_add(ratio.ln(), way.1);
                if steps < found.0 || (steps == found.0 && uneven < found.1) {
                    found = (steps, uneven, before);
                }
            }
        }
        best.push(found);
    }
    let mut rungs = vec![to];
    let mut place = grades.len() - 1;
    while place > 0 {
        place = best.get(place).map_or(0, |way| way.2);
        rungs.extend(grades.get(place));
    }
    rungs.reverse();
    Ok(rungs)
}

/// A step that is too large.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize, Deserialize)]
pub struct Skip {
    pub from: Grade,
    pub to: Grade,
    /// The ratio of their medians, over 1.7.
    pub(crate) ratio: f64,
    /// What would go between.
    pub between: Vec<Grade>,
}

/// What the grits of a recipe, in order, skip. The same grade twice (after raising the grain) is no step.
pub fn skips(grades: &[Grade]) -> Result<Vec<Skip>, GritError> {
    let mut skips = Vec::new();
    for (&from, &to) in grades.iter().zip(grades.iter().skip(1)) {
        let mut rungs = ladder(from, to)?;
        if rungs.len() > 2 {
            let between = rungs.drain(1..rungs.len() - 1).collect();
            skips.push(Skip { from, to, ratio: from.ratio_to(to), between });
        }
    }
    Ok(skips)
}

/// Strips to cut for `pieces` when one strip does so many: rounded up.
pub fn strips(grade: Grade, pieces: u32, per_strip: u32) -> Result<u32, GritError> {
    if per_strip == 0 {
        return Err(GritError::NoPieces { grade });
    }
    Ok(pieces.div_ceil(per_strip))
}
