//! `[[piece]]`.

use super::held::{Held, text};
use super::key::{Key, Section, fill, key};
use super::page::{Page, Read, Table, optional};
use super::value::{Value, shown};
use crate::craft::cover::{OutlineError, area};
use crate::shop::setup::change::Kind;
use crate::shop::setup::{Piece, Size, write};
use crate::units::{Millimetres, System};

/// More points than an outline drawn by hand has; every edge is held against every other.
const MOST_POINTS: usize = 2000;

impl Section for Piece {
    const HEADER: &'static str = "[[piece]]";
    const KIND: Kind = Kind::Piece;
    const NAME: fn(&Self) -> &str = |piece| &piece.name;
    const KEYS: &'static [Key<Self>] = &[
        key!(name).needed("name = \"…\", what the piece is called"),
        key!(wood, text).about("a wood"),
        key!(pieces_per_blank).about("pieces from one blank"),
        Key::<Self>::new(
            "profile",
            |piece, page, value, _| {
                piece.size = Some(Size::Profile(profile(page, value)?));
                Ok(())
            },
            |piece, units| match &piece.size {
                Some(Size::Profile(points)) => Some(outline(points, units)),
                _ => None,
            },
        ),
        Key::<Self>::new(
            "area_cm2",
            |piece, page, value, wanted| {
                piece.size = Some(Size::Area(page.quantity(value, wanted)?));
                Ok(())
            },
            |piece, units| match piece.size {
                Some(Size::Area(area)) => Some(write::quantity(area, units)),
                _ => None,
            },
        )
        .about("an area in cm²"),
        key!(blank_cost).about("what a blank costs, as 1.80"),
    ];
}

pub(super) fn piece<'a>(page: &mut Page<'a>, table: &Table<'a>) -> Read<Piece> {
    let mut piece = Piece { pieces_per_blank: 1, ..Piece::default() };
    let read = fill(page, table, &mut piece);
    if let (Some(_), Some(area)) = (optional(table, "profile"), optional(table, "area_cm2")) {
        let expected = "either a profile or an area, since two could disagree";
        return Err(page.fault(area.span(), "an area_cm2 beside a profile", expected));
    }
    read.map(|()| piece)
}

fn outline(points: &[[f64; 2]], units: System) -> String {
    let length = |own: f64| {
        Millimetres::new(own).map_or_else(|_| write::number(own), |own| write::quantity(own, units))
    };
    write::list(points.iter().map(|point| write::list(point.iter().copied().map(length))))
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
