//! `[shop]`: name, time zone, hands, open hours, closed days.

use super::page::{Faulted, Page, Read, Table, optional};
use super::value::{Value, shown};
use crate::shop::nearest::nearest;
use crate::shop::setup::Workshop;
use crate::shop::setup::fault::quoted;
use crate::time::hours::DAYS;
use crate::time::{ClosedDays, OpenHours, Stretch, Zone};
use crate::units::System;

/// The words for the units.
pub(in crate::shop::setup) const UNITS: [(&str, System); 2] =
    [("metric", System::Metric), ("us", System::Us)];
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
/// More people than a small shop has.
const MOST_HANDS: u32 = 1000;

pub(super) fn workshop<'a>(page: &mut Page<'a>, table: &Table<'a>) -> Read<Workshop> {
    page.only(
        table,
        &[
            "name",
            "timezone",
            "hands",
            "units",
            "maker",
            "address",
            "country",
            "backup",
            "hour_rate",
            "strip_cost",
            "closed",
            "hours",
        ],
    );
    let units = optional(table, "units").map(|value| page.one_of(value, &UNITS)).transpose();
    page.units = units.ok().flatten().unwrap_or_default();
    let mut words = |key: &str, what: &str| {
        optional(table, key).map(|value| page.text(value, what).map(str::to_owned)).transpose()
    };
    let maker = words("maker", "who makes the pieces");
    let address = words("address", "where the shop is, in one line");
    let country = optional(table, "country").map(|value| country(page, value)).transpose();
    let backup = optional(table, "backup").map(|value| backup(page, value)).transpose();
    let hour_rate = optional(table, "hour_rate")
        .map(|value| page.quantity(value, "what an hour of hands costs, as 32"))
        .transpose();
    let strip_cost = optional(table, "strip_cost")
        .map(|value| page.quantity(value, "what a strip of abrasive costs, as 0.12"))
        .transpose();
    let name = page
        .required(table, "name", "name = \"…\", what the shop is called")
        .and_then(|value| page.name(value));
    let zone = page
        .required(table, "timezone", "timezone = \"…\", as \"Europe/Dublin\"")
        .and_then(|value| zone(page, value));
    let hands = optional(table, "hands")
        .map(|value| page.count(value, "people who can work at once", MOST_HANDS))
        .transpose();
    let closed = optional(table, "closed").map(|value| closed(page, value)).transpose();
    let week = page
        .required(table, "hours", "[shop.hours] with mon = [\"08:30-12:30\"] and so on")
        .and_then(|value| Ok((value, week(page, value)?)));
    let (name, zone, hands, units) = (name?, zone?, hands?, units?);
    let (maker, address, country, backup) = (maker?, address?, country?, backup?);
    let (hour_rate, strip_cost) = (hour_rate?, strip_cost?);
    let ((value, week), closed) = (week?, closed?);
    let hours = OpenHours::new(week, closed.unwrap_or_default())
        .map_err(|reason| page.unreadable(value, &reason, "hours that do not overlap"))?;
    Ok(Workshop {
        name: name.to_owned(),
        zone,
        hands: hands.unwrap_or(1),
        hours,
        units: units.unwrap_or_default(),
        maker,
        address,
        country,
        backup,
        hour_rate,
        strip_cost,
    })
}

/// The timer works from another folder than a person does, so the path is whole.
fn backup<'a>(page: &mut Page<'a>, value: &'a Value<'a>) -> Read<String> {
    const EXPECTED: &str =
        "a folder by its whole path, as \"/media/stick/backups\" or \"~/backups\"";
    let text = page.text(value, EXPECTED)?;
    if text.starts_with("~/") || std::path::Path::new(text).is_absolute() {
        return Ok(text.to_owned());
    }
    Err(page.fault(value.span(), shown(value), EXPECTED))
}

fn country<'a>(page: &mut Page<'a>, value: &'a Value<'a>) -> Read<String> {
    const EXPECTED: &str = "the country's two capital letters by ISO 3166, as \"IE\"";
    let text = page.string(value, EXPECTED)?;
    if COUNTRIES.split(' ').any(|code| code == text) {
        return Ok(text.to_owned());
    }
    Err(page.fault(value.span(), shown(value), EXPECTED))
}

fn zone<'a>(page: &mut Page<'a>, value: &'a Value<'a>) -> Read<Zone> {
    const EXPECTED: &str = "a time zone of the IANA list, as \"Europe/Dublin\"";
    let text = page.string(value, EXPECTED)?;
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
    Err(page.fault_near(value.span(), found, EXPECTED, meant.map(str::to_owned)))
}

fn closed<'a>(page: &mut Page<'a>, value: &'a Value<'a>) -> Read<Vec<ClosedDays>> {
    const DAYS: &str = "a date in quotes, as \"2026-03-17\", or two, as \"2026-04-03..2026-04-06\"";
    let list =
        page.list(value, "a list of dates, as [\"2026-03-17\", \"2026-04-03..2026-04-06\"]")?;
    let read: Vec<Read<ClosedDays>> = list.iter().map(|day| page.parsed(day, DAYS)).collect();
    read.into_iter().collect()
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
    let list = page.list(value, "a list of hours, as [\"08:30-12:30\", \"13:15-17:30\"]")?;
    let mut stretches: Vec<Stretch> = Vec::new();
    let mut faulted: Option<Faulted> = None;
    for item in list {
        let stretch: Stretch = match page.parsed(item, STRETCH) {
            Ok(stretch) => stretch,
            Err(wrong) => {
                faulted = Some(wrong);
                continue;
            }
        };
        let shares = |other: &&Stretch| {
            stretch.opening() < other.closing() && other.opening() < stretch.closing()
        };
        if let Some(other) = stretches.iter().find(shares) {
            let found = format!("{stretch}, which overlaps {other}");
            faulted = Some(page.fault(item.span(), found, "hours that do not overlap"));
        } else {
            stretches.push(stretch);
        }
    }
    faulted.map_or(Ok(stretches), Err)
}
