//! Spares: how many pieces to start so that enough good ones come out.

use schemars::JsonSchema;
use serde::Serialize;

use crate::craft::spares::{Prior, Seen, SparesError, Stage, Start, blanks, to_start};
use crate::report::{Page, Report, Tone, row};
use crate::shop::scrap::{ENOUGH, Prospect, StageSeen};
use crate::shop::setup::in_words;
use crate::shop::{Batch, Count, all_of};
use crate::units::Sureness;

/// Below this share the prior is no longer named: what was seen says almost all.
const PRIOR_COUNTS: f64 = 0.1;

/// `spares --good N --scrap K/N`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct SparesShown {
    /// Good pieces needed.
    pub(crate) good: u32,
    /// Scrap seen.
    pub(crate) scrap: u32,
    /// Of so many.
    pub(crate) of: u32,
    #[serde(flatten)]
    pub(crate) answer: Answer,
}

/// `spares BATCH`, and a part of `batch show`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct BatchSpares {
    pub(crate) batch: String,
    /// Good pieces promised.
    pub(crate) promised: u32,
    /// Good pieces still needed.
    pub(crate) need: u32,
    /// Pieces started that are still on their way.
    pub(crate) on_the_way: u32,
    /// The chance that those are enough, 0 to 1.
    pub(crate) chance_as_it_is: f64,
    /// Whether rejects have made the promised count unlikely.
    pub(crate) unlikely: bool,
    /// Steps by hand with what was seen at each.
    pub(crate) stages: Vec<StageLine>,
    /// The batches that scrap was seen in.
    pub(crate) seen_in: Vec<String>,
    #[serde(flatten)]
    pub(crate) answer: Answer,
}

/// How many to start, and how sure that makes it.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Answer {
    /// How sure to be, %.
    pub(crate) sure_percent: f64,
    /// Pieces to start.
    pub(crate) start: u32,
    /// Pieces beyond the good ones needed, those on their way included.
    pub(crate) spares: u32,
    /// Blanks to prepare; null where the setup does not know the piece.
    pub(crate) blanks: Option<u32>,
    /// Pieces from one blank.
    pub(crate) pieces_per_blank: Option<u32>,
    /// The chance that enough come out, 0 to 1.
    pub(crate) chance: f64,
    /// The prior's share in that, 0 to 1.
    pub(crate) prior_share: f64,
    /// The prior, named while it matters.
    pub(crate) prior: Option<String>,
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct StageLine {
    /// The step, from 1.
    pub(crate) step: u32,
    /// What a person calls it.
    pub(crate) name: String,
    /// Thrown out there.
    pub(crate) scrap: u32,
    /// Of so many judged.
    pub(crate) of: u32,
    /// Pieces of this batch that wait there.
    pub(crate) waiting: u32,
}

impl SparesShown {
    pub(crate) fn new(
        good: u32,
        seen: Seen,
        sure: Sureness,
        pieces_per_blank: u32,
    ) -> Result<Self, SparesError> {
        let start = to_start(good, &[Stage { seen, waiting: 0 }], Prior::USUAL, sure)?;
        let made = blanks(start.pieces, pieces_per_blank)?;
        let answer = Answer::new(start, sure, Some(made), Some(pieces_per_blank));
        Ok(Self { good, scrap: seen.scrap(), of: seen.of(), answer })
    }
}

impl Answer {
    fn new(
        start: Start,
        sure: Sureness,
        blanks: Option<u32>,
        pieces_per_blank: Option<u32>,
    ) -> Self {
        let prior = (start.prior_share >= PRIOR_COUNTS).then(|| {
            format!(
                "assumes 1 in 20 is scrapped, until you have more history (for the step least seen that still counts {:.0} %)",
                start.prior_share * 100.0
            )
        });
        Self {
            sure_percent: sure.get(),
            start: start.pieces,
            spares: start.spares,
            blanks,
            pieces_per_blank,
            chance: start.chance,
            prior_share: start.prior_share,
            prior,
        }
    }

    /// "start 3 more, from 3 blanks".
    fn start(&self, more: &str) -> String {
        let blanks = self.blanks.map(|blanks| format!(", from {}", Count(blanks, "blank")));
        format!("start {}{more}{}", Count(self.start, "piece"), blanks.unwrap_or_default())
    }

    fn prior_text(&self, page: &mut Page) {
        if let Some(prior) = &self.prior {
            page.item(prior);
        }
    }
}

impl BatchSpares {
    pub(crate) fn new(
        batch: &Batch,
        prospect: &Prospect,
        sure: Sureness,
        seen_in: Vec<String>,
    ) -> Self {
        let Prospect {
            need, on_the_way, chance, start, blanks, pieces_per_blank, unlikely, ..
        } = *prospect;
        Self {
            batch: batch.name.clone(),
            promised: batch.pieces,
            need,
            on_the_way,
            chance_as_it_is: chance,
            unlikely,
            stages: prospect.stages.iter().map(StageLine::new).collect(),
            seen_in,
            answer: Answer::new(start, sure, blanks, pieces_per_blank),
        }
    }

    /// Said where rejects have made the promised count unlikely.
    pub(crate) fn warning(&self) -> Option<String> {
        let answer = &self.answer;
        self.unlikely.then(|| {
            format!(
                "The {} promised are unlikely to come out good: {} of cases with the {} on their way. To be {} % sure {}: tackfree lot start {} --pieces {}",
                Count(self.promised, "piece"),
                percent(self.chance_as_it_is),
                self.on_the_way,
                answer.sure_percent,
                answer.start(" more"),
                self.batch,
                answer.start
            )
        })
    }

    fn enough_as_it_is(&self) -> String {
        if self.on_the_way < self.need {
            ": what you have is not enough".to_owned()
        } else {
            format!(": enough come out in {} of cases", percent(self.chance_as_it_is))
        }
    }
}

impl StageLine {
    fn new(stage: &StageSeen) -> Self {
        let (scrap, of) = (stage.seen.scrap(), stage.seen.of());
        Self { step: stage.number, name: stage.step.to_string(), scrap, of, waiting: stage.waiting }
    }
}

/// "92 %"; never 0 % or 100 % of what is neither.
fn percent(chance: f64) -> String {
    let whole = (chance * 100.0).round();
    if chance > 0.0 && whole < 1.0 {
        "under 1 %".to_owned()
    } else if chance < 1.0 && whole > 99.0 {
        "over 99 %".to_owned()
    } else {
        format!("{whole} %")
    }
}

impl Report for SparesShown {
    fn text(&self, page: &mut Page) {
        let answer = &self.answer;
        let good = Count(self.good, "good piece");
        page.heading(Tone::Strong, &format!("For {good} {}", answer.start("")));
        page.under(format!(
            "{} spare; enough come out in {} of cases, {} % asked for",
            answer.spares,
            percent(answer.chance),
            answer.sure_percent
        ));
        page.under(format!("scrap seen: {} of {}", self.scrap, self.of));
        answer.prior_text(page);
    }
}

impl Report for BatchSpares {
    fn text(&self, page: &mut Page) {
        let answer = &self.answer;
        let heading = if answer.start == 0 {
            format!("{}  nothing more to start", self.batch)
        } else {
            format!("{}  {}", self.batch, answer.start(" more"))
        };
        page.heading(Tone::Strong, &heading);
        page.item(format!(
            "{} promised, {} still needed, {} on the way{}",
            self.promised,
            self.need,
            self.on_the_way,
            self.enough_as_it_is()
        ));
        let wanted = if answer.start == 0 && answer.chance * 100.0 < answer.sure_percent {
            format!("more is made up once that is under {}", percent(ENOUGH))
        } else {
            format!("{} % asked for", answer.sure_percent)
        };
        page.item(format!(
            "with {} more started it comes out in {} of cases, {wanted}; {} spare",
            answer.start,
            percent(answer.chance),
            answer.spares
        ));
        answer.prior_text(page);
        page.gap();
        let rows = self.stages.iter().map(|stage| {
            let out = format!("{} of {}", stage.scrap, stage.of);
            row![stage.step, in_words(&stage.name), out, stage.waiting]
        });
        page.table(["step", "name", "thrown out", "waiting"], rows);
        if self.seen_in.len() > 1 {
            page.gap();
            page.hang(format!("Thrown out in {}.", all_of(&self.seen_in)));
        }
    }
}
