//! The headings of a logger's file: which column holds what.

use chrono::FixedOffset;
use csv::StringRecord;

use crate::shop::logger::number::Unit;
use crate::shop::logger::stamp::offset_of;
use crate::shop::logger::{Hints, Layout};

/// The columns of a file.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Columns {
    pub(super) stamp: StampColumns,
    pub(super) temp: usize,
    /// The unit its heading names.
    pub(super) unit: Option<Unit>,
    pub(super) humidity: Option<usize>,
    pub(super) surface: Option<(usize, Option<Unit>)>,
    /// The offset that the heading of the moment names.
    pub(super) offset: Option<FixedOffset>,
    /// How many there are.
    pub(super) width: usize,
    /// Where the line of the headings begins.
    pub(super) start: usize,
    /// Where the rows begin.
    pub(super) end: usize,
    headings: Vec<String>,
}

/// Where the moment stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum StampColumns {
    /// In one column.
    One(usize),
    /// The date in one, the time of day in another.
    Apart { date: usize, time: usize },
}

/// What one heading says of its column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Holds {
    Moment,
    Date,
    Time,
    Temperature,
    Humidity,
    Surface,
    Other,
}

impl Columns {
    /// The columns, if these fields are headings: at least a moment and a temperature must be among them. Of several that
    /// could be the same the first counts.
    pub(super) fn find(record: &StringRecord, start: usize, end: usize) -> Option<Self> {
        let holds: Vec<Holds> = record.iter().map(held).collect();
        let place = |what: Holds| holds.iter().position(|held| *held == what);
        let stamp = match (place(Holds::Moment), place(Holds::Date), place(Holds::Time)) {
            (Some(moment), _, _) => StampColumns::One(moment),
            (None, Some(date), Some(time)) => StampColumns::Apart { date, time },
            (None, Some(one), None) | (None, None, Some(one)) => StampColumns::One(one),
            (None, None, None) => return None,
        };
        let temp = place(Holds::Temperature)?;
        let heading = |place: usize| record.get(place).unwrap_or_default();
        let moment = match stamp {
            StampColumns::One(place) | StampColumns::Apart { time: place, .. } => heading(place),
        };
        Some(Self {
            stamp,
            temp,
            unit: unit(heading(temp)),
            humidity: place(Holds::Humidity),
            surface: place(Holds::Surface).map(|place| (place, unit(heading(place)))),
            offset: offset(moment),
            width: record.len(),
            start,
            end,
            headings: record.iter().map(|heading| heading.trim().to_owned()).collect(),
        })
    }

    /// The moment in a row; `joined` holds it where date and time stand apart.
    pub(super) fn moment<'a>(&self, record: &'a StringRecord, joined: &'a mut String) -> &'a str {
        let field = |place: usize| record.get(place).unwrap_or_default();
        match self.stamp {
            StampColumns::One(place) => field(place),
            StampColumns::Apart { date, time } => {
                joined.clear();
                joined.push_str(field(date).trim());
                joined.push(' ');
                joined.push_str(field(time).trim());
                joined
            }
        }
    }

    /// How the file was read, for whoever wants to look it over.
    pub(super) fn layout(
        &self,
        header_line: usize,
        unit: Unit,
        hints: &Hints,
        offset: Option<FixedOffset>,
    ) -> Layout {
        let heading = |place: usize| self.headings.get(place).cloned().unwrap_or_default();
        let time = match self.stamp {
            StampColumns::One(place) => vec![heading(place)],
            StampColumns::Apart { date, time } => vec![heading(date), heading(time)],
        };
        Layout {
            header_line,
            time,
            temp: heading(self.temp),
            humidity: self.humidity.map(heading),
            surface: self.surface.map(|(place, _)| heading(place)),
            unit,
            unit_assumed: hints.unit.is_none() && self.unit.is_none(),
            stamps: offset.map_or_else(|| hints.zone.to_string(), |offset| offset.to_string()),
        }
    }
}

/// The words of a heading in small letters, cut at everything that is no letter, digit or sign of a unit.
fn words(heading: &str) -> Vec<String> {
    let small = heading.to_lowercase();
    let cut = |c: char| !(c.is_alphanumeric() || matches!(c, '°' | 'º' | '˚' | '%' | '℃' | '℉'));
    small.split(cut).filter(|word| !word.is_empty()).map(str::to_owned).collect()
}

fn held(heading: &str) -> Holds {
    // A reading in front of headings would be taken for one by its unit.
    if heading.trim().starts_with(|c: char| c.is_ascii_digit()) {
        return Holds::Other;
    }
    let words = words(heading);
    let is = |wanted: &[&str]| words.iter().any(|word| wanted.contains(&word.as_str()));
    let begins = |wanted: &str| words.iter().any(|word| word.starts_with(wanted));
    if is(&["dew", "dewpoint", "wet", "heat", "feels", "absolute", "abs", "vpd", "battery"]) {
        return Holds::Other;
    }
    let (date, time) = (is(&["date"]), is(&["time"]));
    if begins("timestamp") || begins("datetime") || (date && time) {
        return Holds::Moment;
    }
    if begins("hum") || begins("relhum") || is(&["rh", "%rh", "rh%", "relative"]) {
        return Holds::Humidity;
    }
    if begins("surface") {
        return Holds::Surface;
    }
    if begins("temp") || is(&["t"]) || unit(heading).is_some() {
        return Holds::Temperature;
    }
    match (date, time) {
        (true, _) => Holds::Date,
        (_, true) => Holds::Time,
        _ if is(&["%"]) => Holds::Humidity,
        _ => Holds::Other,
    }
}

/// The unit of temperature that a heading names.
fn unit(heading: &str) -> Option<Unit> {
    words(heading).iter().find_map(|word| {
        let lettered = word.strip_prefix("temperature").or_else(|| word.strip_prefix("temp"));
        Unit::of_sign(lettered.filter(|rest| !rest.is_empty()).unwrap_or(word))
    })
}

/// The offset that a heading such as "Date Time, GMT+01:00" or "time (UTC)" names.
fn offset(heading: &str) -> Option<FixedOffset> {
    let small = heading.to_lowercase();
    let start = small.find("utc").or_else(|| small.find("gmt"))?;
    let named = small.get(start..)?;
    let end = named
        .char_indices()
        .skip(3)
        .find(|(_, c)| !(c.is_ascii_digit() || matches!(c, '+' | '-' | '\u{2212}' | ':')))
        .map_or(named.len(), |(at, _)| at);
    offset_of(named.get(..end)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_say_what_they_hold() {
        let cases = [
            ("Date Time, GMT+01:00", Holds::Moment),
            ("Timestamp", Holds::Moment),
            ("Timestamp for sample frequency every 1 min", Holds::Moment),
            ("date", Holds::Date),
            ("Time", Holds::Time),
            ("Time (UTC)", Holds::Time),
            ("Temp, °C (S/N 123)", Holds::Temperature),
            ("temperature_f", Holds::Temperature),
            ("°C", Holds::Temperature),
            ("Celsius(°C)", Holds::Temperature),
            ("Humidity(%rh)", Holds::Humidity),
            ("RH", Holds::Humidity),
            ("%", Holds::Humidity),
            ("Dew Point (°C)", Holds::Other),
            ("Absolute humidity g/m³", Holds::Other),
            ("Surface temp", Holds::Surface),
            ("#", Holds::Other),
            ("14.2 °C", Holds::Other),
        ];
        for (heading, expected) in cases {
            assert_eq!(held(heading), expected, "{heading}");
        }
        assert_eq!(unit("temperature_f"), Some(Unit::Fahrenheit));
        assert_eq!(unit("Temp (C)"), Some(Unit::Celsius));
        assert_eq!(unit("Temp"), None);
        let east = |hours: i32| FixedOffset::east_opt(hours * 3600);
        assert_eq!(offset("Date Time, GMT+01:00"), east(1));
        assert_eq!(offset("Time (UTC)"), east(0));
        assert_eq!(offset("Local time"), None);
    }
}
