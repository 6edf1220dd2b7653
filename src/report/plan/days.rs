//! The coming steps by day, with clock times.

use crate::report::Page;
use crate::report::page::Tone;
use crate::shop::count::Count;
use crate::shop::plan::StepPlan;
use crate::time::Stamp;

impl StepPlan<Stamp> {
    /// "salt-1  coat house oil, 36 pieces on drip-1".
    pub fn what(&self) -> String {
        let pieces = Count(self.pieces, "piece");
        let rack = self.rack.as_ref().map_or_else(String::new, |rack| format!(" on {rack}"));
        let begun = if self.begun { " (begun)" } else { "" };
        format!("{}  {}{begun}, {pieces}{rack}", self.lot, self.name)
    }

    /// "08:30-12:12"; the end's day too where it is another.
    pub fn clock(&self) -> String {
        if self.start.day() == self.end.day() {
            format!("{}-{}", self.start.clock(), self.end.clock())
        } else {
            format!("{}-{} {}", self.start.clock(), self.end.weekday(), self.end.clock())
        }
    }

    /// "no later than Tue 14:10", where there is any room.
    pub fn latest(&self) -> String {
        if self.begun {
            return "goes on now".to_owned();
        }
        if self.latest_start.at() <= self.start.at() {
            return "at once".to_owned();
        }
        if self.latest_start.day() == self.start.day() {
            return format!("by {}", self.latest_start.clock());
        }
        format!("by {}", self.latest_start.moment())
    }

    /// The steps of the first days on which there are any.
    pub(super) fn by_day(steps: &[Self], days: usize, page: &mut Page) {
        let mut shown = 0;
        let mut day = None;
        for step in steps {
            if day != Some(step.start.day()) {
                if shown == days {
                    break;
                }
                if shown > 0 {
                    page.gap();
                }
                shown += 1;
                day = Some(step.start.day());
                page.heading(Tone::Strong, &step.start.date());
            }
            page.pair(2, &format!("{:<11}  {}", step.clock(), step.what()), &step.latest());
        }
        let later =
            steps.iter().filter(|step| day.is_some_and(|day| step.start.day() > day)).count();
        if later > 0 {
            page.line(
                2,
                &format!(
                    "and {} on later days: tackfree plan --days 60",
                    Count(later as u64, "step")
                ),
            );
        }
    }
}
