//! Grades, ladders and conversions against published tables.

use proptest::prelude::*;
use tackfree::craft::grit::{Grade, GritError, LARGEST_STEP, System, ladder, skips, strips};

use super::sheet::rows;

fn p(text: &str) -> Grade {
    text.parse().unwrap()
}

fn ladder_of(text: &str) -> Vec<Grade> {
    text.split('-').map(p).collect()
}

/// Compares every value from outside and says how many there were.
pub(super) fn compare() -> usize {
    medians() + steps() + ladders() + others()
}

fn medians() -> usize {
    let rows = rows("03_fepa_p.csv");
    let grades: Vec<Grade> = Grade::all().collect();
    assert_eq!(grades.len(), rows.len());
    for (row, grade) in rows.iter().zip(grades) {
        assert_eq!(p(row.text("grade")), grade);
        row.close("median_um", grade.median(), 0.0);
    }
    rows.len()
}

fn steps() -> usize {
    let rows = rows("03_steps.csv");
    for row in &rows {
        let (from, to) = (p(row.text("from")), p(row.text("to")));
        row.close("median_ratio", from.ratio_to(to), 6e-5);
        row.same(
            "grades_skipped",
            Grade::all().filter(|grade| *grade > from && *grade < to).count(),
        );
    }
    rows.len() * 2
}

fn ladders() -> usize {
    let rows = rows("03_ladders.csv");
    for row in &rows {
        let rungs = ladder_of(row.text("ladder"));
        let largest = rungs.windows(2).map(|w| w[0].ratio_to(w[1])).fold(0.0, f64::max);
        row.close("max_median_ratio", largest, 6e-5);
        let passes = skips(&rungs).unwrap().is_empty();
        assert_eq!(passes, row.text("passes_1_7") == "1", "{}", row.text("ladder"));
    }
    rows.len() * 2
}

fn others() -> usize {
    let rows = rows("03_other_systems.csv");
    for row in &rows {
        let system =
            if row.text("system").starts_with("ANSI") { System::Cami } else { System::Jis };
        let number = row.text("grade").trim_start_matches('#').parse().unwrap();
        let about = system.about(number).unwrap();
        row.close("median_um", about.median, 0.0);
        let nearest = about.nearest.map(|grade| grade.to_string()).unwrap_or_default();
        assert_eq!(nearest, row.text("nearest_p"), "{system:?} {number}");
    }
    rows.len() * 2
}

#[test]
fn values_from_outside_agree() {
    assert!(compare() >= 100);
}

#[test]
fn a_grade_without_a_published_median_is_refused_not_guessed() {
    let fine = "P3000".parse::<Grade>().unwrap_err();
    assert_eq!(fine.to_string(), "P3000: no published median found; refused rather than guessed");
    for text in ["P333", "P", "", "180x", "P-80", "+80", "P99999999999", "grey"] {
        let refused = text.parse::<Grade>().unwrap_err();
        assert!(matches!(refused, GritError::Unknown { .. }), "{text}: {refused}");
        assert!(refused.to_string().contains("expected P12 to P2500"));
    }
    assert_eq!((p("p180"), p(" 180 ")), (p("P180"), p("P180")));
    assert_eq!(serde_json::to_string(&p("P180")).unwrap(), "\"P180\"");
    assert!(serde_json::from_str::<Grade>("\"P4000\"").is_err());
}

#[test]
fn ladders_run_as_turners_use_them() {
    let between = |from, to| ladder(p(from), p(to)).unwrap();
    assert_eq!(between("P80", "P320"), ladder_of("P80-P120-P180-P240-P320"));
    assert_eq!(between("P150", "P400"), ladder_of("P150-P220-P320-P400"));
    assert_eq!(between("P180", "P180"), [p("P180")]);
    assert_eq!(between("P12", "P16"), ladder_of("P12-P16"));
    let coarser = ladder(p("P240"), p("P120")).unwrap_err();
    assert_eq!(coarser.to_string(), "P120 after P240 runs coarser: a ladder goes to finer grits");
}

#[test]
fn what_a_recipe_skips_is_named_with_what_would_go_between() {
    let found = skips(&ladder_of("P80-P120-P240-P240")).unwrap();
    assert_eq!(found.len(), 1);
    assert_eq!((found[0].from, found[0].to), (p("P120"), p("P240")));
    assert_eq!(found[0].between, [p("P180")]);
    assert!(matches!(skips(&ladder_of("P120-P240-P180")), Err(GritError::Coarser { .. })));
    assert!(skips(&[]).unwrap().is_empty());
}

#[test]
fn conversions_go_both_ways_and_end_where_the_tables_do() {
    assert_eq!(System::Cami.about_grade(p("P220")).unwrap().number, 220);
    assert_eq!(System::Jis.about_grade(p("P400")).unwrap().number, 360);
    assert_eq!(System::Jis.about_grade(p("P12")), None, "stones begin at #240");
    assert_eq!(System::Cami.about(221), None);
}

#[test]
fn strips_are_rounded_up() {
    assert_eq!(strips(p("P180"), 36, 8), Ok(5));
    assert_eq!(strips(p("P180"), 0, 8), Ok(0));
    assert!(strips(p("P180"), 36, 0).unwrap_err().to_string().contains("0 pieces"));
}

proptest! {
    #[test]
    fn every_ladder_climbs_in_steps_no_larger_than_they_need_be(a in 0..28_usize, b in 0..28_usize) {
        let grades: Vec<Grade> = Grade::all().collect();
        let (from, to) = (grades[a.min(b)], grades[a.max(b)]);
        let rungs = ladder(from, to).unwrap();
        prop_assert_eq!((rungs[0], rungs[rungs.len() - 1]), (from, to));
        for pair in rungs.windows(2) {
            prop_assert!(pair[0] < pair[1]);
            prop_assert!(pair[0].ratio_to(pair[1]) <= LARGEST_STEP);
        }
        prop_assert!(skips(&rungs).unwrap().is_empty());
        // Fewest: no rung can be left out alone.
        for three in rungs.windows(3) {
            prop_assert!(three[0].ratio_to(three[2]) > LARGEST_STEP);
        }
    }
}
