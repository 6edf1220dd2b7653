//! What an age is counted by, as it is shown: the coat and its sheet, the rooms and their readings, the shop's own tests.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::craft::cure::Factor;
use crate::shop::cure::RoomUsed;
use crate::shop::lot::DoneStep;
use crate::shop::setup::Finish;
use crate::shop::{Count, Lot};
use crate::time::{Stamp, Viewpoint};
use crate::units::{Celsius, Humidity, Q10, Shown};

/// The keys of the setup file that a wait after a coat rests on.
const KEYS: [&str; 6] = ["recoat", "cure", "sheet_temp", "min_temp", "max_humidity", "q10"];

/// The coat an age is counted from, and its sheet.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct CoatShown {
    pub(crate) finish: String,
    /// Which of the recipe's coats, from 1, and how many there are.
    pub(crate) coat: u32,
    pub(crate) coats: u32,
    /// When its coat ended.
    pub(crate) ended: Stamp,
    /// The data sheet's title.
    pub(crate) sheet: Option<String>,
    pub(crate) revised: Option<String>,
    /// The temperature for which it gives its times.
    pub(crate) sheet_temp_c: Option<Shown<Celsius>>,
    /// Nothing counts below this.
    pub(crate) min_temp_c: Option<Shown<Celsius>>,
    /// Nothing counts above this.
    pub(crate) max_humidity_percent: Option<Shown<Humidity>>,
    /// Its rate for 10 °C; null is taken as 2.5, common practice.
    pub(crate) q10: Option<Q10>,
    /// Which of these the finish's class supplied, and how each is marked.
    pub(crate) from_class: BTreeMap<String, String>,
}

impl CoatShown {
    pub(super) fn new(lot: &Lot, coat: &DoneStep, finish: &Finish, view: Viewpoint) -> Self {
        let number = lot.recipe.coat_number(coat.step);
        let marked = finish.from_class.iter().filter(|(key, _)| KEYS.contains(&key.as_str()));
        let sheet = finish.sheet.as_ref();
        Self {
            finish: finish.name.clone(),
            coat: number.map_or(0, |number| number.coat),
            coats: number.map_or(0, |number| number.of),
            ended: view.stamp(coat.ended),
            sheet: sheet.map(|sheet| sheet.title.clone()),
            revised: sheet.and_then(|sheet| sheet.revised).map(|date| date.to_string()),
            sheet_temp_c: finish.sheet_temp.map(|temp| view.shown(temp)),
            min_temp_c: finish.min_temp.map(|temp| view.shown(temp)),
            max_humidity_percent: finish.max_humidity.map(|humidity| view.shown(humidity)),
            q10: finish.q10,
            from_class: marked.map(|(key, mark)| (key.clone(), mark.clone())).collect(),
        }
    }

    /// "hardwax, last coat", or "hardwax, coat 1 of 3" while others follow.
    pub(super) fn numbered(&self, others_follow: bool) -> String {
        let Self { finish, coat, coats, .. } = self;
        if others_follow {
            format!("{finish}, coat {coat} of {coats}")
        } else {
            format!("{finish}, last coat")
        }
    }

    /// "maker's technical sheet, revised 2025-04-01".
    pub(super) fn title(&self) -> String {
        let revised =
            self.revised.as_ref().map_or_else(String::new, |date| format!(", revised {date}"));
        match &self.sheet {
            Some(title) => format!("{title}{revised}"),
            None => "no sheet named in the setup".to_owned(),
        }
    }

    /// "times at 23 °C; nothing counts below 10 °C or above 80 %; Q10 2".
    pub(super) fn conditions(&self) -> String {
        let mark = |key: &str| {
            self.from_class.get(key).map_or_else(String::new, |mark| format!(" ({mark})"))
        };
        let mut parts = match self.sheet_temp_c {
            Some(at) => vec![format!("times at {at:.0}{}", mark("sheet_temp"))],
            None => vec!["it names no temperature".to_owned()],
        };
        let lowest = self.min_temp_c.map(|lowest| format!("below {lowest:.0}{}", mark("min_temp")));
        let dampest = self
            .max_humidity_percent
            .map(|dampest| format!("above {dampest:.0}{}", mark("max_humidity")));
        let limits: Vec<String> = [lowest, dampest].into_iter().flatten().collect();
        if !limits.is_empty() {
            parts.push(format!("nothing counts {}", limits.join(" or ")));
        }
        if let Some(q10) = self.q10 {
            parts.push(format!("Q10 {}{}", q10.get(), mark("q10")));
        }
        parts.join("; ")
    }
}

impl RoomUsed {
    pub(super) fn said(&self, several: bool) -> String {
        let room = self.room.as_deref().unwrap_or("on no rack");
        let stay = match (&self.until, several) {
            (Some(until), _) => format!(" until {}", until.moment()),
            (None, true) => format!(" since {}", self.from.moment()),
            (None, false) => String::new(),
        };
        let readings = match (&self.first, &self.last) {
            (Some(first), Some(last)) => format!(
                "{}, {} to {}",
                Count(self.readings as u64, "reading"),
                first.moment(),
                last.moment()
            ),
            _ => "no readings".to_owned(),
        };
        format!("{room}{stay}: {readings}")
    }
}

impl Factor {
    pub(super) fn said(&self, finish: &str) -> String {
        let tests = Count(self.tests as u64, "touch test");
        if self.tests == 0 {
            return format!(
                "no touch tests of {finish} after a last coat yet: the sheet's time stands"
            );
        }
        let failed = Count(self.failed_past_sheet as u64, "failure");
        let open =
            if self.open { ", and none has passed beyond that: it may take longer" } else { "" };
        if self.times > 1.0 {
            format!(
                "the shop's own tests of {finish} ask for {:.2} times the sheet's time ({tests}, {failed} past it{open})",
                self.times
            )
        } else {
            format!(
                "the shop's own tests of {finish} let the sheet's time stand ({tests}, {failed} past it)"
            )
        }
    }
}
