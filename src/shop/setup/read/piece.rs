//! `[[piece]]`.

use super::page::{Page, Read, Table, optional};
use super::value::{Value, shown};
use crate::craft::cover::{OutlineError, area};
use crate::shop::setup::{Piece, Size};
use crate::units::{Millimetres, SquareCentimetres};

/// More than anybody turns from one blank.
const MOST_PER_BLANK: u32 = 1000;
/// More points than an outline drawn by hand has; every edge is held against every other.
const MOST_POINTS: usize = 2000;

pub(super) fn piece<'a>(page: &mut Page<'a>, table: &Table<'a>) -> Read<Piece> {
    page.only(table, &["name", "wood", "pieces_per_blank", "profile", "area_cm2", "blank_cost"]);
    let name = page
        .required(table, "name", "name = \"…\", what the piece is called")
        .and_then(|value| page.name(value));
    let wood = optional(table, "wood").map(|value| page.text(value, "a wood")).transpose();
    let pieces_per_blank = optional(table, "pieces_per_blank")
        .map(|value| page.count(value, "pieces from one blank", MOST_PER_BLANK))
        .transpose();
    let blank_cost = optional(table, "blank_cost")
        .map(|value| page.quantity(value, "what a blank costs, as 1.80"))
        .transpose();
    let size = size(page, table);
    Ok(Piece {
        name: name?.to_owned(),
        wood: wood?.map(str::to_owned),
        pieces_per_blank: pieces_per_blank?.unwrap_or(1),
        size: size?,
        blank_cost: blank_cost?,
    })
}

/// How the area is known; a piece without either has none, and its oil is not reckoned.
fn size<'a>(page: &mut Page<'a>, table: &Table<'a>) -> Read<Option<Size>> {
    match (optional(table, "profile"), optional(table, "area_cm2")) {
        (Some(points), None) => profile(page, points).map(Size::Profile).map(Some),
        (None, Some(area)) => page.quantity(area, "an area in cm²").map(Size::Area).map(Some),
        (Some(points), Some(area)) => {
            // Both are looked at, so that no fault waits for the next run.
            let points = profile(page, points);
            let own = page.quantity::<SquareCentimetres>(area, "an area in cm²");
            let expected = "either a profile or an area, since two could disagree";
            let both = page.fault(area.span(), "an area_cm2 beside a profile", expected);
            points.and(own).and(Err(both))
        }
        (None, None) => Ok(None),
    }
}

/// Reads a closed outline: finite, on the axis at both ends and nowhere between, crossing itself nowhere.
fn profile<'a>(page: &mut Page<'a>, value: &'a Value<'a>) -> Read<Vec<[f64; 2]>> {
    const EXPECTED: &str = "a list of at least 3 points [height mm, diameter mm]";
    const ONE_LINE: &str = "one line from axis to axis that meets itself nowhere";
    let list = page.list(value, EXPECTED)?;
    if !(3..=MOST_POINTS).contains(&list.len()) {
        let found = format!("a profile of {} points", list.len());
        return Err(page.fault(value.span(), found, EXPECTED));
    }
    let read: Vec<Read<[f64; 2]>> = list.iter().map(|item| point(page, item)).collect();
    let mut on_axis = Ok(());
    for (index, end) in [(0, "begin"), (list.len() - 1, "end")] {
        let (Some(item), Some(Ok([_, diameter]))) = (list.get(index), read.get(index)) else {
            continue;
        };
        if *diameter > 0.0 {
            let found = format!("a profile that does not {end} on the axis");
            let expected = "a diameter of 0 at its first and at its last point";
            on_axis = Err(page.fault(item.span(), found, expected));
        }
    }
    let points = read.into_iter().collect::<Read<Vec<_>>>()?;
    on_axis?;
    match area(&points) {
        Ok(_) => Ok(points),
        Err(error) => {
            let place = match error {
                OutlineError::Crosses { second: point, .. }
                | OutlineError::TouchesAxis { point }
                | OutlineError::NoPoint { point, .. } => point.checked_sub(1),
                _ => None,
            };
            let at = place.and_then(|place| list.get(place)).unwrap_or(value);
            Err(page.unreadable(at, &error, ONE_LINE))
        }
    }
}

fn point<'a>(page: &mut Page<'a>, value: &'a Value<'a>) -> Read<[f64; 2]> {
    const EXPECTED: &str = "a point [height mm, diameter mm]";
    let list = page.list(value, EXPECTED)?;
    let mut numbers = list.iter();
    let (Some(height), Some(diameter), None) = (numbers.next(), numbers.next(), numbers.next())
    else {
        let found = format!("a list of {}", list.len());
        return Err(page.fault(value.span(), found, EXPECTED));
    };
    let height = page.quantity::<Millimetres>(height, "a height in mm");
    let diameter = page.quantity::<Millimetres>(diameter, "a diameter in mm").and_then(|read| {
        if read.get() >= 0.0 {
            return Ok(read);
        }
        Err(page.fault(diameter.span(), shown(diameter), "a diameter in mm, 0 to 10,000"))
    });
    Ok([height?.get(), diameter?.get()])
}
