//! Grit: ladders, grades in other systems, what a recipe skips, strips to cut.

use schemars::JsonSchema;
use serde::Serialize;

use crate::craft::grit::{
    ABOUT, About, Grade, GritError, LARGEST_STEP, Skip, System, ladder, skips, strips,
};
use crate::report::{Page, Report, Tone, row};
use crate::shop::{Count, all_of};

/// A ladder: every grade from the starting scratch to the target, those to use marked.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct LadderShown {
    /// The scratch to start from.
    pub(crate) from: Grade,
    pub(crate) to: Grade,
    /// The largest ratio of medians allowed in a step.
    pub(crate) limit: f64,
    /// Coarsest first.
    pub(crate) grades: Vec<Rung>,
}

/// One grade of a ladder.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Rung {
    pub(crate) grade: Grade,
    /// Its median grain, µm.
    pub(crate) median_um: f64,
    /// Whether to use it.
    pub(crate) chosen: bool,
    /// The ratio of medians from the grade used before; none for the first and for those left out.
    pub(crate) ratio: Option<f64>,
}

/// One P grade, and what it is about in other systems.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct GradeShown {
    pub(crate) grade: Grade,
    /// Its median grain, µm.
    pub(crate) median_um: f64,
    /// What it is about elsewhere; a system that ends before is left out.
    pub(crate) about: Vec<Elsewhere>,
    pub(crate) note: &'static str,
}

/// A number of another system.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Elsewhere {
    /// CAMI or JIS.
    pub(crate) system: &'static str,
    pub(crate) number: u16,
    /// Its median grain as that system measures it, µm.
    pub(crate) median_um: f64,
    /// The P grade it is nearest to; null where none is near.
    pub(crate) nearest: Option<Grade>,
    pub(crate) note: &'static str,
}

/// What a recipe's sanding skips.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct SkipsShown {
    pub(crate) recipe: String,
    /// The grits it sands with, in order.
    pub(crate) grades: Vec<Grade>,
    /// The largest ratio of medians allowed in a step.
    pub(crate) limit: f64,
    /// Steps that are too large.
    pub(crate) skips: Vec<Skip>,
}

/// Strips to cut.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct StripsShown {
    pub(crate) grade: Grade,
    /// For how many pieces.
    pub(crate) pieces: u32,
    /// Pieces one strip does.
    pub(crate) per_strip: u32,
    /// How many to cut.
    pub(crate) strips: u32,
}

impl LadderShown {
    pub(crate) fn new(from: Grade, to: Grade) -> Result<Self, GritError> {
        let chosen = ladder(from, to)?;
        let before = |grade: Grade| chosen.iter().rev().find(|other| **other < grade);
        let rung = |grade: Grade| {
            let used = chosen.contains(&grade);
            let ratio = before(grade).filter(|_| used).map(|coarser| coarser.ratio_to(grade));
            Rung { grade, median_um: grade.median(), chosen: used, ratio }
        };
        let grades = Grade::all().filter(|grade| (from..=to).contains(grade)).map(rung);
        Ok(Self { from, to, limit: LARGEST_STEP, grades: grades.collect() })
    }
}

impl GradeShown {
    pub(crate) fn new(grade: Grade) -> Self {
        let systems = [System::Cami, System::Jis];
        let about = systems.into_iter().filter_map(|system| system.about_grade(grade));
        let about = about.map(Elsewhere::new).collect();
        Self { grade, median_um: grade.median(), about, note: ABOUT }
    }
}

impl Elsewhere {
    pub(crate) fn new(about: About) -> Self {
        let system = match about.system {
            System::Cami => "CAMI",
            System::Jis => "JIS",
        };
        let About { number, median, nearest, .. } = about;
        Self { system, number, median_um: median, nearest, note: ABOUT }
    }
}

impl SkipsShown {
    pub(crate) fn new(recipe: &str, grades: Vec<Grade>) -> Result<Self, GritError> {
        let skips = skips(&grades)?;
        Ok(Self { recipe: recipe.to_owned(), grades, limit: LARGEST_STEP, skips })
    }
}

impl StripsShown {
    pub(crate) fn new(grade: Grade, pieces: u32, per_strip: u32) -> Result<Self, GritError> {
        Ok(Self { grade, pieces, per_strip, strips: strips(grade, pieces, per_strip)? })
    }
}

fn names(grades: &[Grade]) -> Vec<String> {
    grades.iter().map(Grade::to_string).collect()
}

impl Report for LadderShown {
    fn text(&self, page: &mut Page) {
        let used: Vec<Grade> =
            self.grades.iter().filter(|rung| rung.chosen).map(|rung| rung.grade).collect();
        page.heading(Tone::Strong, &names(&used).join("  "));
        page.gap();
        let row = |rung: &Rung| {
            let (chosen, ratio) = (if rung.chosen { "*" } else { "" }, rung.ratio);
            let ratio = ratio.map(|ratio| format!("{ratio:.2}"));
            row![chosen, rung.grade, format!("{} µm", rung.median_um), ratio]
        };
        page.table(["use", "grade", "median", "ratio"], self.grades.iter().map(row));
        page.gap();
        page.say(format!(
                "* to use; {} is the scratch to start from. No grit jump is too big: none over {} times (common practice).",
                self.from, self.limit
            ),
        );
    }
}

impl Report for GradeShown {
    fn text(&self, page: &mut Page) {
        page.heading(Tone::Strong, &format!("{}  median {} µm", self.grade, self.median_um));
        for other in &self.about {
            page.under(format!("about {} {} ({} µm)", other.system, other.number, other.median_um));
        }
        if self.about.is_empty() {
            page.under("No other system known here goes so far.");
        }
        page.under(format!("Only {}.", self.note));
    }
}

impl Report for Elsewhere {
    fn text(&self, page: &mut Page) {
        let heading = format!("{} {}  median {} µm", self.system, self.number, self.median_um);
        page.heading(Tone::Strong, &heading);
        match self.nearest {
            Some(grade) => page.under(format!("about {grade} ({} µm)", grade.median())),
            None => page.under("finer than P2500: no P grade is near"),
        }
        page.under(format!("Only {}.", self.note));
    }
}

impl Report for SkipsShown {
    fn text(&self, page: &mut Page) {
        if self.grades.is_empty() {
            page.say(format!("{} has no sand step.", self.recipe));
            return;
        }
        page.heading(Tone::Strong, &format!("{}: {}", self.recipe, names(&self.grades).join("  ")));
        for skip in &self.skips {
            page.item(format!(
                "{} to {}: a ratio of {:.2}, over {}; put in {}",
                skip.from,
                skip.to,
                skip.ratio,
                self.limit,
                all_of(&skip.between)
            ));
        }
        if self.skips.is_empty() {
            page.under(format!(
                "No step's ratio of medians is over {} (common practice).",
                self.limit
            ));
        }
    }
}

impl Report for StripsShown {
    fn text(&self, page: &mut Page) {
        page.say(format!(
            "{} of {} for {}: one does {}.",
            Count(self.strips, "strip"),
            self.grade,
            Count(self.pieces, "piece"),
            self.per_strip
        ));
    }
}
