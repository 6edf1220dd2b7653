//! Areas against textbook formulae, oil against hand arithmetic, and the kit.

use proptest::prelude::*;
use tackfree::craft::cover::{Abrading, Coating, Kit, OutlineError, area, kit, oil};
use tackfree::units::{Coverage, SquareCentimetres};

use super::sheet::rows;

const BOWL: [[f64; 2]; 7] =
    [[0.0, 0.0], [0.0, 40.0], [12.0, 62.0], [38.0, 66.0], [38.0, 60.0], [8.0, 30.0], [8.0, 0.0]];

fn cm2(outline: &[[f64; 2]]) -> f64 {
    area(outline).unwrap().get()
}

fn disc(diameter: f64) -> f64 {
    std::f64::consts::PI * diameter * diameter / 400.0
}

/// Compares every value from outside and says how many there were.
pub(super) fn compare() -> usize {
    frustums() + bowl() + curves() + oils()
}

/// A frustum closed by the discs at its ends, less those discs.
fn frustums() -> usize {
    let rows = rows("06_frustum.csv");
    for row in &rows {
        let [d1, d2, h] = ["d1_mm", "d2_mm", "h_mm"].map(|name| row.number(name));
        let side = if row.text("shape").contains("h = 0") {
            // Flat: laid on a cylinder 50 mm high of the larger diameter, which is taken away again.
            let lower = [[0.0, 0.0], [0.0, d2], [50.0, d2], [50.0, d1], [60.0, d1], [60.0, 0.0]];
            let with = if d1 > 0.0 {
                cm2(&lower)
            } else {
                cm2(&[lower[0], lower[1], lower[2], [50.0, 0.0]])
            };
            let walls = std::f64::consts::PI * (d2 * 50.0 + d1 * 10.0) / 100.0;
            with - disc(d2) - walls - if d1 > 0.0 { disc(d1) } else { 0.0 }
        } else {
            let mut outline = vec![[0.0, 0.0], [0.0, d1], [h, d2], [h, 0.0]];
            outline.dedup();
            cm2(&outline) - disc(d1) - disc(d2)
        };
        row.close("area_cm2", side, 1e-6 * row.number("area_cm2"));
    }
    rows.len()
}

fn bowl() -> usize {
    let rows = rows("06_design_bowl.csv");
    let closed = rows.iter().find(|row| row.text("part").starts_with("closed")).unwrap();
    closed.close("area_cm2", cm2(&BOWL), 5e-5);
    let lateral = rows.iter().find(|row| row.text("part").starts_with("lateral")).unwrap();
    let flat = disc(40.0) + disc(66.0) - disc(60.0) + disc(30.0);
    lateral.close("area_cm2", cm2(&BOWL) - flat, 1e-4);
    2
}

/// The radius of a shape of the table at a height, with its lowest and highest.
fn curve(shape: &str) -> (fn(f64) -> f64, f64, f64) {
    match shape {
        "sphere zone" => (|z| (2500.0 - z * z).sqrt(), -30.0, 30.0),
        "hemisphere" => (|z| (2500.0 - z * z).max(0.0).sqrt(), 0.0, 50.0),
        "paraboloid" => (|z| 60.0 * (z / 45.0).sqrt(), 0.0, 45.0),
        "cone" => (|z| 0.75 * z, 0.0, 40.0),
        "cylinder" => (|_| 30.0, 0.0, 80.0),
        other => panic!("no shape {other}"),
    }
}

fn curves() -> usize {
    let rows = rows("06_curves.csv");
    for row in &rows {
        let (radius, low, high) = curve(row.text("shape"));
        let n: u32 = row.whole("n");
        let mut outline = vec![[low, 0.0]];
        for step in 0..=n {
            let z = low + (high - low) * f64::from(step) / f64::from(n);
            outline.push([z, 2.0 * radius(z)]);
        }
        outline.push([high, 0.0]);
        outline.dedup();
        let sum = cm2(&outline) - disc(2.0 * radius(low)) - disc(2.0 * radius(high));
        row.close("frustum_sum_mm2", sum * 100.0, 1e-6 * row.number("frustum_sum_mm2"));
        let error = (sum * 100.0 / row.number("exact_mm2") - 1.0) * 100.0;
        row.close("error_pct", error, 6e-5);
    }
    rows.len() * 2
}

fn oils() -> usize {
    let mut count = 0;
    for row in rows("09_oil.csv") {
        let Ok(each) = SquareCentimetres::new(row.number("area_cm2")) else {
            assert!(row.number("area_cm2") <= 0.0);
            continue;
        };
        let coverage = Coverage::new(row.number("spread_m2_l")).unwrap();
        let coat = oil(each, row.whole("pieces"), coverage).unwrap().get() * 1000.0;
        let coats = row.number("coats");
        row.close("oil_ml", coat * coats, 1e-6 * row.number("oil_ml"));
        let one = oil(each, 1, coverage).unwrap().get() * 1000.0;
        row.close("ml_per_piece_coat", one, 1e-6);
        count += 2;
    }
    count
}

#[test]
fn values_from_outside_agree() {
    assert!(compare() >= 80);
}

#[test]
fn an_outline_that_is_none_is_refused_with_the_place() {
    let said = |outline: &[[f64; 2]]| area(outline).unwrap_err().to_string();
    assert_eq!(
        said(&[[0.0, 0.0], [5.0, 0.0]]),
        "a profile of 2 points encloses nothing: expected at least 3"
    );
    let open = [[0.0, 0.0], [0.0, 40.0], [30.0, 40.0]];
    assert_eq!(
        said(&open),
        "the profile ends at a diameter of 40 mm: expected 0, on the axis (a piece with a hole through it has no such outline: give its area)"
    );
    let late = [[0.0, 10.0], [0.0, 40.0], [30.0, 0.0]];
    assert_eq!(
        said(&late),
        "the profile starts at a diameter of 10 mm: expected 0, on the axis (a piece with a hole through it has no such outline: give its area)"
    );
    let pinched = [[0.0, 0.0], [0.0, 40.0], [20.0, 0.0], [30.0, 40.0], [30.0, 0.0]];
    assert_eq!(area(&pinched), Err(OutlineError::TouchesAxis { point: 3 }));
    // The inside runs through the outside wall.
    let crossed = [[0.0, 0.0], [0.0, 40.0], [40.0, 40.0], [40.0, 60.0], [20.0, 20.0], [20.0, 0.0]];
    assert_eq!(area(&crossed), Err(OutlineError::Crosses { first: 2, second: 4 }));
    // No wall at all: down the way it went up.
    let folded = [[0.0, 0.0], [0.0, 40.0], [40.0, 40.0], [8.0, 40.0], [8.0, 0.0]];
    assert!(matches!(area(&folded), Err(OutlineError::Crosses { .. })));
    let flat = [[0.0, 0.0], [0.0, 40.0], [0.0, 0.0]];
    assert_eq!(area(&flat), Err(OutlineError::Crosses { first: 1, second: 2 }));
    // It comes back to the point it began at.
    let ring = [[0.0, 0.0], [0.0, 40.0], [20.0, 40.0], [0.0, 0.0]];
    assert!(matches!(area(&ring), Err(OutlineError::Crosses { .. })));
    for bad in [f64::NAN, f64::INFINITY, -1.0, 1e9] {
        let profile = [[0.0, 0.0], [0.0, bad], [10.0, 0.0]];
        assert!(said(&profile).starts_with("point 2 of the profile"), "{bad}");
    }
    assert!(matches!(area(&vec![[0.0, 0.0]; 5000]), Err(OutlineError::TooMany { .. })));
    assert!(matches!(
        area(&[[0.0, 0.0], [0.0, 0.01], [0.001, 0.0]]),
        Err(OutlineError::NoArea { .. })
    ));
}

#[test]
fn a_point_given_twice_in_a_row_is_one() {
    let doubled: Vec<[f64; 2]> = BOWL.iter().flat_map(|&point| [point, point]).collect();
    assert_eq!(area(&doubled), area(&BOWL));
}

#[test]
fn zero_spread_is_refused() {
    let refused = Coverage::new(0.0).unwrap_err().to_string();
    assert_eq!(
        refused,
        "coverage of 0 isn't possible: expected 0.1 to 1000 m² a litre (4.1 to 40,700 sq ft a gallon)"
    );
    let most = SquareCentimetres::new(1e6).unwrap();
    assert!(oil(most, u32::MAX, Coverage::new(0.1).unwrap()).is_err());
}

fn coating(of: &str, pieces: u32) -> Coating {
    Coating {
        of: of.to_owned(),
        each: SquareCentimetres::new(178.0).ok(),
        pieces,
        coverage: Coverage::new(18.0).ok(),
        self_heating: Some(true),
    }
}

#[test]
fn a_kit_adds_up_what_a_session_needs() {
    let grade = |text: &str| text.parse().unwrap();
    let sand = |text, per_strip| Abrading { grade: grade(text), pieces: 36, per_strip };
    let coats = [coating("house oil", 36), coating("house oil", 24)];
    let found =
        kit(&coats, &[sand("P180", Some(8)), sand("P180", Some(8)), sand("P320", None)]).unwrap();
    assert!((found.oil["house oil"].get() - 0.0356 * 60.0 / 36.0).abs() < 1e-9);
    assert_eq!((found.cloths, found.gloves), (6, 2));
    assert!(found.metal_can && found.self_heating);
    assert_eq!(found.strips[&grade("P180")], 10);
    assert_eq!(found.strips_unknown, [grade("P320")]);
    let none = Abrading { pieces: 0, ..sand("P240", Some(8)) };
    assert_eq!(kit(&[coating("house oil", 0)], &[none]).unwrap(), Kit::default());
    let dry = kit(&[], &[sand("P180", Some(12))]).unwrap();
    assert_eq!((dry.cloths, dry.gloves, dry.metal_can), (0, 0, false));
    let unknown = Coating { coverage: None, self_heating: None, ..coating("wax", 5) };
    let found = kit(&[unknown.clone(), unknown], &[]).unwrap();
    assert_eq!(found.oil_unknown, ["wax"]);
    assert!(found.self_heating && found.oil.is_empty(), "unknown is taken as yes");
    assert!(kit(&[], &[sand("P180", Some(0))]).is_err());
}

/// A vessel: up the outside by random steps, down the inside a wall's width within it.
fn vessel() -> impl Strategy<Value = Vec<[f64; 2]>> {
    (proptest::collection::vec((1.0..30.0_f64, 20.0..120.0_f64), 1..8), 2.0..6.0_f64).prop_map(
        |(rings, wall)| {
            let mut outline = vec![[0.0, 0.0]];
            let mut height = 0.0;
            for (rise, diameter) in &rings {
                outline.push([height, *diameter]);
                height += rise;
            }
            let top = height;
            let last = rings[rings.len() - 1].1;
            outline.push([top, last]);
            outline.push([top, last - wall]);
            outline.push([top - 0.5, 0.0]);
            outline
        },
    )
}

proptest! {
    #[test]
    fn areas_are_the_same_however_straight_edges_are_subdivided(outline in vessel(), cuts in 2..20_u32, turned in any::<bool>()) {
        let mut finer = Vec::new();
        for pair in outline.windows(2) {
            for cut in 0..cuts {
                let share = f64::from(cut) / f64::from(cuts);
                let along = |axis: usize| pair[0][axis] + (pair[1][axis] - pair[0][axis]) * share;
                finer.push([along(0), along(1)]);
            }
        }
        finer.push(outline[outline.len() - 1]);
        if turned {
            finer.reverse();
        }
        let (coarse, fine) = (area(&outline), area(&finer));
        prop_assert!(coarse.is_ok() && fine.is_ok(), "{coarse:?} {fine:?}");
        let (coarse, fine) = (coarse.unwrap().get(), fine.unwrap().get());
        prop_assert!((coarse - fine).abs() <= 1e-9 * coarse);
    }

    #[test]
    fn no_outline_panics(outline in proptest::collection::vec([-1e6..1e6_f64, -10.0..1e6_f64], 0..30)) {
        if let Ok(area) = area(&outline) {
            prop_assert!(area.get() > 0.0);
        }
    }

    #[test]
    fn twice_the_pieces_take_twice_the_oil(cm2 in 1.0..2000.0_f64, pieces in 1..1000_u32, coverage in 1.0..50.0_f64) {
        let (each, coverage) = (SquareCentimetres::new(cm2).unwrap(), Coverage::new(coverage).unwrap());
        let (one, two) = (oil(each, pieces, coverage).unwrap().get(), oil(each, 2 * pieces, coverage).unwrap().get());
        prop_assert!((two - 2.0 * one).abs() < 1e-9 * two);
    }
}
