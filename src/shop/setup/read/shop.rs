//! `[shop]`: name, time zone, hands, open hours, closed days.

use super::held::{Held, text};
use super::key::{Key, Section, fill, key};
use super::page::{Page, Read, Table, optional};
use super::value::{Value, shown};
use crate::shop::nearest::nearest;
use crate::shop::setup::change::Kind;
use crate::shop::setup::fault::quoted;
use crate::shop::setup::{Workshop, write};
use crate::time::hours::DAYS;
use crate::time::{ClosedDays, OpenHours, Stretch, Zone};
use crate::units::System;

/// The words for the units.
const UNITS: [(&str, System); 2] = [("metric", System::Metric), ("us", System::Us)];
/// ISO 3166-1 alpha-2, as the time zone database's iso3166.tab lists it.
const COUNTRIES: &str = "\
    AD AE AF AG AI AL AM AO AQ AR AS AT AU AW AX AZ BA BB BD BE BF BG BH BI BJ BL BM BN BO \
    BQ BR BS BT BV BW BY BZ CA CC CD CF CG CH CI CK CL CM CN CO CR CU CV CW CX CY CZ DE DJ \
    DK DM DO DZ EC EE EG EH ER ES ET FI FJ FK FM FO FR GA GB GD GE GF GG GH GI GL GM GN GP \
    GQ GR GS GT GU GW GY HK HM HN HR HT HU ID IE IL IM IN IO IQ IR IS IT JE JM JO JP KE KG \
    KH KI KM KN KP KR KW KY KZ LA LB LC LI LK LR LS LT LU LV LY MA MC MD ME MF MG MH MK ML \
    MM MN MO MP MQ MR MS MT MU MV MW MX MY MZ NA NC NE NF NG NI NL NO NP NR NU NZ OM PA PE \
    PF PG PH PK PL PM PN PR PS PT PW PY QA RE RO RS RU RW SA SB SC SD SE SG SH SI SJ SK SL \
    SM SN SO SR SS ST SV SX SY SZ TC TD TF TG TH TJ TK TL TM TN TO TR TT TV TW TZ UA UG UM \
    US UY UZ VA VC VE VG VI VN VU WF WS YE YT ZA ZM ZW";

impl Section for Workshop {
    const HEADER: &'static str = "[shop]";
    const KIND: Kind = Kind::Shop;
    const NAME: fn(&Self) -> &str = |shop| &shop.name;
    const KEYS: &'static [Key<Self>] = &[
        key!(name).needed("name = \"…\", what the shop is called"),
        key!("timezone", zone, Held::read)
            .about("a time zone of the IANA list, as \"Europe/Dublin\"")
            .needed("timezone = \"…\", as \"Europe/Dublin\""),
        key!(hands).about("people who can work at once"),
        // Read before any quantity, since a bare number is taken to be in them.
        key!(units),
        key!(maker, text).about("who makes the pieces"),
        key!(address, text).about("where the shop is, in one line"),
        key!(country, country).about("the country's two capital letters by ISO 3166, as \"IE\""),
        key!(backup, backup)
            .about("a folder by its whole path, as \"/media/stick/backups\" or \"~/backups\""),
        key!(hour_rate).about("what an hour of hands costs, as 32"),
        key!(strip_cost).about("what a strip of abrasive costs, as 0.12"),
        Key::<Self>::new(
            "closed",
            |shop, page, value, wanted| {
                // Without open hours none overlap.
                let days = closed(page, value, wanted)?;
                shop.hours = OpenHours::new(Default::default(), days).unwrap_or_default();
                Ok(())
            },
            |shop, _| {
                let days = shop.hours.closed().iter();
                Some(write::list(days.map(|days| write::quoted(&days.to_string()))))
            },
        )
        .about("a list of dates, as [\"2026-03-17\", \"2026-04-03..2026-04-06\"]"),
        // Written as a table of their own.
        Key::<Self>::new(
            "hours",
            |shop, page, value, _| {
                shop.hours = OpenHours::new(week(page, value)?, shop.hours.closed().to_vec())
                    .map_err(|reason| {
                        page.unreadable(value, &reason, "hours that do not overlap")
                    })?;
                Ok(())
            },
            |_, _| None,
        )
        .needed("[shop.hours] with mon = [\"08:30-12:30\"] and so on"),
    ];
}

/// One person works where nobody said how many.
pub(super) fn workshop<'a>(page: &mut Page<'a>, table: &Table<'a>) -> Read<Workshop> {
    let mut shop = Workshop { hands: 1, ..Workshop::default() };
    fill(page, table, &mut shop).map(|()| shop)
}

impl Held for System {
    fn read<'a>(page: &mut Page<'a>, value: &'a Value<'a>, _: &str) -> Read<Self> {
        page.units = page.one_of(value, &UNITS)?;
        Ok(page.units)
    }

    fn toml(&self, _: System) -> Option<String> {
        (*self != Self::default()).then(|| write::word_of(&UNITS, self))
    }
}

/// The timer works from another folder than a person does, so the path is whole.
fn backup<'a>(page: &mut Page<'a>, value: &'a Value<'a>, wanted: &str) -> Read<Option<String>> {
    let text = page.text(value, wanted)?;
    if text.starts_with("~/") || std::path::Path::new(text).is_absolute() {
        return Ok(Some(text.to_owned()));
    }
    Err(page.fault(value.span(), shown(value), wanted))
}

fn country<'a>(page: &mut Page<'a>, value: &'a Value<'a>, wanted: &str) -> Read<Option<String>> {
    let text = page.string(value, wanted)?;
    if COUNTRIES.split(' ').any(|code| code == text) {
        return Ok(Some(text.to_owned()));
    }
    Err(page.fault(value.span(), shown(value), wanted))
}

impl Held for Zone {
    fn read<'a>(page: &mut Page<'a>, value: &'a Value<'a>, wanted: &str) -> Read<Self> {
        let text = page.string(value, wanted)?;
        if let Ok(zone) = text.parse() {
            return Ok(zone);
        }
        let names = || chrono_tz::TZ_VARIANTS.iter().map(|zone| zone.name());
        let city = |name: &'static str| name.rsplit('/').next().unwrap_or(name);
        let typed = text.replace(' ', "_");
        let meant = nearest(&typed, names()).or_else(|| {
            let near = nearest(&typed, names().filter(|name| name.contains('/')).map(city))?;
            names().find(|name| name.contains('/') && city(name) == near)
        });
        let found = format!("{}, no time zone", quoted(text));
        Err(page.fault_near(value.span(), found, wanted, meant))
    }

    fn toml(&self, _: System) -> Option<String> {
        Some(write::quoted(self.name()))
    }
}

fn closed<'a>(page: &mut Page<'a>, value: &'a Value<'a>, wanted: &str) -> Read<Vec<ClosedDays>> {
    const DAYS: &str = "a date in quotes, as \"2026-03-17\", or two, as \"2026-04-03..2026-04-06\"";
    page.items(value, wanted, |page, day| page.parsed(day, DAYS))
}

/// The stretches of each weekday, Monday first.
fn week<'a>(page: &mut Page<'a>, value: &'a Value<'a>) -> Read<[Vec<Stretch>; 7]> {
    let table = page.table(value, "[shop.hours]")?;
    let mut faulted = page.only(&table, &DAYS);
    let mut week: [Vec<Stretch>; 7] = Default::default();
    for (day, stretches) in DAYS.into_iter().zip(&mut week) {
        let Some(value) = optional(&table, day) else { continue };
        match day_stretches(page, value) {
            Ok(read) => *stretches = read,
            Err(wrong) => faulted = Some(wrong),
        }
    }
    match faulted {
        Some(wrong) => Err(wrong),
        None if week.iter().all(Vec::is_empty) => {
            Err(page.lacking(&table, "no open hours on any day", "hours for at least one weekday"))
        }
        None => Ok(week),
    }
}

fn day_stretches<'a>(page: &mut Page<'a>, value: &'a Value<'a>) -> Read<Vec<Stretch>> {
    const STRETCH: &str = "open hours in quotes, as \"08:30-12:30\"";
    let mut taken: Vec<Stretch> = Vec::new();
    page.items(value, "a list of hours, as [\"08:30-12:30\", \"13:15-17:30\"]", |page, item| {
        let stretch: Stretch = page.parsed(item, STRETCH)?;
        let shares = |other: &&Stretch| {
            stretch.opening() < other.closing() && other.opening() < stretch.closing()
        };
        if let Some(other) = taken.iter().find(shares) {
            let found = format!("{stretch}, which overlaps {other}");
            return Err(page.fault(item.span(), found, "hours that do not overlap"));
        }
        taken.push(stretch);
        Ok(stretch)
    })
}
