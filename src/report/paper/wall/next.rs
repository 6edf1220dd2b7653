//! What to do next, in large type: what is late first, then moves and steps as they come; and the rags that lie.

use maud::{Markup, html};

use super::{Wall, clock};
use crate::report::paper::typed;
use crate::report::rags;
use crate::shop::Count;
use crate::shop::plan::StepPlan;
use crate::time::Stamp;

/// How many of the next steps stand in large type.
const NEXT: usize = 6;

/// A line of what to do next.
struct Line<'a> {
    late: bool,
    when: String,
    lot: &'a str,
    what: String,
    pieces: u32,
    rack: Option<&'a str>,
    /// How long it may wait, or what for it is done.
    until: String,
}

impl Wall {
    pub(super) fn next(&self) -> Markup {
        let lines = self.lines();
        html! {
            section {
                h2 { "Next" }
                @if lines.is_empty() { p { "Nothing to do." } }
                ol.next { @for line in lines {
                    li.late[line.late] {
                        time { (line.when) }
                        span {
                            b { (typed(line.lot)) } " " (typed(&line.what)) ", " (Count(line.pieces, "piece"))
                            @if let Some(rack) = line.rack { " on " (typed(rack)) }
                            " " small { (line.until) }
                        }
                    }
                } }
            }
        }
    }

    /// What comes before all else, then moves and steps as they come.
    fn lines(&self) -> Vec<Line<'_>> {
        let clock = |stamp: &Stamp| clock(stamp, &self.now);
        let when = |from: &Stamp| if from.is_past() { "now".to_owned() } else { clock(from) };
        let first = self.first.iter().map(|item| Line {
            late: item.state == "overdue",
            when: match &item.from {
                _ if item.state == "overdue" => "LATE".to_owned(),
                Some(from) => when(from),
                None => String::new(),
            },
            lot: &item.lot,
            what: item.words.clone(),
            pieces: item.pieces,
            rack: item.rack.as_deref(),
            until: item.until.map_or_else(String::new, |until| format!("by {}", clock(&until))),
        });
        let moves = self.moves.iter().map(|to| {
            let line = Line {
                late: false,
                when: when(&to.from),
                lot: &to.lot,
                what: format!("move to {}", to.rack),
                pieces: to.pieces,
                rack: Some(&to.off),
                until: if to.cures { "to cure there".to_owned() } else { String::new() },
            };
            (to.from.at(), line)
        });
        let said = |step: &StepPlan<Stamp>| {
            self.first.iter().any(|item| item.lot == step.lot && item.step == step.step)
        };
        let ahead = |step: &StepPlan<Stamp>| step.end.at() > self.now.at() && !said(step);
        let steps = self.steps.iter().filter(|wall| ahead(&wall.step)).map(|wall| {
            let step = &wall.step;
            let line = Line {
                late: false,
                when: clock(&step.start),
                lot: &step.lot,
                what: wall.words.clone(),
                pieces: step.pieces,
                rack: step.rack.as_deref(),
                until: format!("start by {}", clock(&step.latest_start)),
            };
            (step.start.at(), line)
        });
        let mut planned: Vec<_> = moves.chain(steps).collect();
        planned.sort_by_key(|(at, _)| *at);
        let mut lines: Vec<Line<'_>> = first.collect();
        lines.extend(planned.into_iter().take(NEXT).map(|(_, line)| line));
        lines
    }

    pub(super) fn rags(&self) -> Markup {
        html! {
            @if let Some((says, lying)) = rags::said(&self.rags) { section {
                h2 { "Rags" }
                p.late { (says) }
                p {
                    "Oily rags lying: "
                    @for (number, rags) in lying.iter().enumerate() {
                        @if number > 0 { "; " } (typed(&rags.lot)) ", " (rags.lying)
                    }
                }
            } }
        }
    }
}
