//! The area of a turned piece from its outline.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

use crate::units::{OutOfRange, SquareCentimetres};

/// The most points an outline may have; every edge is compared with every other.
const MOST_POINTS: usize = 2000;

/// Why an outline has no area.
#[derive(Debug, Clone, PartialEq, thiserror::Error, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum OutlineError {
    #[error("a profile of {points} points encloses nothing: expected at least 3")]
    TooFew {
        /// How many there are.
        points: usize,
    },
    #[error("a profile of {points} points is too long: expected at most {MOST_POINTS}")]
    TooMany {
        /// How many there are.
        points: usize,
    },
    #[error(
        "point {point} of the profile is [{height}, {diameter}]: expected a height and a diameter from 0 to 100,000 mm"
    )]
    NoPoint {
        /// Its place, from 1.
        point: usize,
        /// Height, mm, as given.
        height: String,
        /// Diameter, mm, as given.
        diameter: String,
    },
    #[error(
        "the profile {end} at a diameter of {diameter} mm: expected 0, on the axis (a piece with a hole through it has no such outline: give its area)"
    )]
    OffAxis {
        /// "starts" or "ends".
        end: OutlineEnd,
        /// The diameter there, mm.
        diameter: f64,
    },
    #[error(
        "point {point} of the profile lies on the axis between its ends: one piece has one outline"
    )]
    TouchesAxis {
        /// Its place, from 1.
        point: usize,
    },
    #[error(
        "the profile crosses itself: the edge after point {first} meets the edge after point {second}"
    )]
    Crosses {
        /// The earlier edge begins at this point, from 1.
        first: usize,
        /// The later edge begins at this point, from 1.
        second: usize,
    },
    #[error("the profile encloses {square_cm} cm²: expected 0.01 to 1,000,000 cm²")]
    NoArea {
        /// What came out, cm².
        square_cm: f64,
    },
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum OutlineEnd {
    Starts,
    Ends,
}

impl std::fmt::Display for OutlineEnd {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Starts => "starts",
            Self::Ends => "ends",
        })
    }
}

/// A corner of the half section: its place in what was given (from 1), height and radius, mm.
#[derive(Debug, Clone, Copy)]
struct Corner {
    place: usize,
    height: f64,
    radius: f64,
}

/// The surface of a turned piece from one closed outline `[height mm, diameter mm]`: from the axis under the foot, up the
/// outside, over the rim, down the inside, to the axis again.
///
/// The sum over its edges of π (r1 + r2) √((r1 − r2)² + h²), the lateral area of a frustum (Pappus' theorem); flat discs and rings are
/// frustums of no height. A curve given by points on it comes out a little small, by 1/n² of its points.
pub fn area(outline: &[[f64; 2]]) -> Result<SquareCentimetres, OutlineError> {
    let corners = corners(outline)?;
    ends_on_axis(&corners)?;
    crosses_nowhere(&corners)?;
    let square_mm: f64 = corners.iter().zip(corners.iter().skip(1)).map(frustum).sum();
    SquareCentimetres::new(square_mm / 100.0)
        .map_err(|OutOfRange { value, .. }| OutlineError::NoArea { square_cm: value })
}

fn frustum((a, b): (&Corner, &Corner)) -> f64 {
    PI * (a.radius + b.radius) * (a.radius - b.radius).hypot(a.height - b.height)
}

/// The points as corners; a point given twice in a row is one.
fn corners(outline: &[[f64; 2]]) -> Result<Vec<Corner>, OutlineError> {
    if outline.len() > MOST_POINTS {
        return Err(OutlineError::TooMany { points: outline.len() });
    }
    let mut corners: Vec<Corner> = Vec::with_capacity(outline.len());
    for (index, &[height, diameter]) in outline.iter().enumerate() {
        let place = index + 1;
        if !((-1e5..=1e5).contains(&height) && (0.0..=1e5).contains(&diameter)) {
            return Err(OutlineError::NoPoint {
                point: place,
                height: height.to_string(),
                diameter: diameter.to_string(),
            });
        }
        let corner = Corner { place, height, radius: diameter / 2.0 };
        if corners.last().is_none_or(|last| apart(last, &corner)) {
            corners.push(corner);
        }
    }
    if corners.len() < 3 {
        return Err(OutlineError::TooFew { points: corners.len() });
    }
    Ok(corners)
}

fn apart(a: &Corner, b: &Corner) -> bool {
    a.height.total_cmp(&b.height).is_ne() || a.radius.total_cmp(&b.radius).is_ne()
}

fn ends_on_axis(corners: &[Corner]) -> Result<(), OutlineError> {
    let ends = [(corners.first(), OutlineEnd::Starts), (corners.last(), OutlineEnd::Ends)];
    for (corner, end) in ends {
        let diameter = corner.map_or(0.0, |corner| corner.radius * 2.0);
        if diameter > 0.0 {
            return Err(OutlineError::OffAxis { end, diameter });
        }
    }
    let inner = corners.get(1..corners.len() - 1).unwrap_or_default();
    match inner.iter().find(|corner| corner.radius <= 0.0) {
        Some(corner) => Err(OutlineError::TouchesAxis { point: corner.place }),
        None => Ok(()),
    }
}

/// Compares every edge with every later one.
fn crosses_nowhere(corners: &[Corner]) -> Result<(), OutlineError> {
    let edges: Vec<(&Corner, &Corner)> = corners.iter().zip(corners.iter().skip(1)).collect();
    for (index, &(a, b)) in edges.iter().enumerate() {
        for (offset, &(c, d)) in edges.iter().skip(index + 1).enumerate() {
            let meet = if offset == 0 { turns_back(a, b, d) } else { edges_meet(a, b, c, d) };
            if meet {
                return Err(OutlineError::Crosses { first: a.place, second: c.place });
            }
        }
    }
    Ok(())
}

/// Twice the signed area of the triangle: which side of the line a–b the point c lies on.
fn side(a: &Corner, b: &Corner, c: &Corner) -> f64 {
    (b.height - a.height) * (c.radius - a.radius) - (b.radius - a.radius) * (c.height - a.height)
}

/// Whether the edge b–d runs back along the edge a–b it follows.
fn turns_back(a: &Corner, b: &Corner, d: &Corner) -> bool {
    let along = (b.height - a.height) * (d.height - b.height)
        + (b.radius - a.radius) * (d.radius - b.radius);
    along < 0.0 && side(a, b, d).abs() <= 1e-12 * along.abs()
}

/// Whether two edges that do not follow each other cross or touch.
fn edges_meet(a: &Corner, b: &Corner, c: &Corner, d: &Corner) -> bool {
    let overlap =
        |a1: f64, a2: f64, b1: f64, b2: f64| a1.min(a2) <= b1.max(b2) && b1.min(b2) <= a1.max(a2);
    // The boxes first: edges in one straight line have sides of nothing but rounding.
    overlap(a.height, b.height, c.height, d.height)
        && overlap(a.radius, b.radius, c.radius, d.radius)
        && side(a, b, c) * side(a, b, d) <= 0.0
        && side(c, d, a) * side(c, d, b) <= 0.0
}
