//! Spares against a statistics library, and what must hold of any answer.

use proptest::prelude::*;
use tackfree::craft::spares::{
    Prior, Seen, SparesError, Stage, blanks, chance, ln_gamma, to_start,
};
use tackfree::units::Sureness;

use super::sheet::rows;

fn sure(share: f64) -> Sureness {
    Sureness::new(share * 100.0).unwrap()
}

fn stage(scrap: u32, of: u32) -> Stage {
    Stage { seen: Seen::new(scrap, of).unwrap(), waiting: 0 }
}

/// P(`scrap` scrap among `pieces`), as what at most so many adds to at most one fewer.
fn chance_of_scrap(scrap: u32, pieces: u32, prior: Prior) -> f64 {
    let at_most = |scrap: u32| chance(pieces - scrap, pieces, &[], prior);
    at_most(scrap) - scrap.checked_sub(1).map_or(0.0, at_most)
}

/// Compares every value from outside and says how many there were.
pub(super) fn compare() -> usize {
    believed() + masses() + running()
}

fn believed() -> usize {
    let rows = rows("07_beta_binomial.csv");
    let mut edges = 0;
    for row in &rows {
        let prior = Prior { a: row.number("a"), b: row.number("b") };
        let stage = stage(row.whole("scrap_k"), row.whole("seen_n0"));
        let asked = sure(row.number("confidence"));
        let found = to_start(row.whole("good_N"), &[stage], prior, asked).unwrap();
        if (found.chance - asked.get() / 100.0).abs() < 1e-9 {
            // The chance is the confidence itself (114/120 for 95 %): enough, where the table's floats fell short by a bit.
            assert!(row.whole::<u32>("start_n") - found.pieces <= 1);
            edges += 1;
            continue;
        }
        row.same("start_n", found.pieces);
        row.same("spares", found.spares);
        row.close("prob_n", found.chance, 1e-6);
    }
    assert!(edges <= 4, "{edges} rows stand on the edge");
    (rows.len() - edges) * 2
}

fn masses() -> usize {
    let rows = rows("07_pmf.csv");
    for row in &rows {
        let prior = Prior { a: row.number("a"), b: row.number("b") };
        let (scrap, pieces) = (row.whole::<u32>("x"), row.whole::<u32>("n"));
        row.close("pmf", chance_of_scrap(scrap, pieces, prior), 1e-9);
        row.close("cdf", chance(pieces - scrap, pieces, &[], prior), 1e-9);
    }
    rows.len() * 2
}

fn running() -> usize {
    let rows = rows("07_running.csv");
    for row in &rows {
        let (good, scrap): (u32, u32) = (row.whole("good_so_far"), row.whole("scrap_so_far"));
        let stage = stage(scrap, good + scrap);
        let found =
            to_start(row.whole("good_still_needed"), &[stage], Prior::USUAL, sure(0.9)).unwrap();
        row.same("still_to_start", found.pieces);
    }
    rows.len()
}

#[test]
fn values_from_outside_agree() {
    assert!(compare() >= 600);
}

#[test]
fn log_gamma_knows_factorials_and_the_root_of_pi() {
    let mut ln_factorial = 0.0;
    for n in 1..170_u32 {
        assert!(
            (ln_gamma(f64::from(n)) - ln_factorial).abs() <= 1e-13 * ln_factorial.max(1.0),
            "{n}"
        );
        ln_factorial += f64::from(n).ln();
    }
    assert!(ln_gamma(0.0).is_infinite() && ln_gamma(-1e18).is_infinite());
    assert!((ln_gamma(0.5) - 0.5 * std::f64::consts::PI.ln()).abs() < 1e-14);
}

/// The same question by following every outcome of every piece, for few pieces and two stages.
fn by_every_outcome(need: u32, start: u32, waiting: [u32; 2], stages: [Seen; 2]) -> f64 {
    let prior = |seen: Seen| Prior {
        a: 0.5 + f64::from(seen.scrap()),
        b: 19.5 + f64::from(seen.of() - seen.scrap()),
    };
    let entered = start + waiting[0];
    let mut total = 0.0;
    for lost in 0..=entered {
        let left = entered - lost + waiting[1];
        for more in 0..=left {
            if left - more >= need {
                total += chance_of_scrap(lost, entered, prior(stages[0]))
                    * chance_of_scrap(more, left, prior(stages[1]));
            }
        }
    }
    total
}

#[test]
fn stage_follows_stage_and_pieces_on_the_way_count() {
    let seen = [Seen::new(2, 30).unwrap(), Seen::new(1, 12).unwrap()];
    for (need, start, waiting) in [(6, 8, [0, 0]), (9, 3, [4, 5]), (5, 0, [2, 4]), (3, 1, [0, 1])] {
        let stages = [0, 1].map(|i| Stage { seen: seen[i], waiting: waiting[i] });
        let found = chance(need, start, &stages, Prior::USUAL);
        let want = by_every_outcome(need, start, waiting, seen);
        assert!((found - want).abs() < 1e-9, "{need} of {start}: {found}, {want}");
    }
    let on_the_way = [Stage { seen: seen[0], waiting: 40 }, Stage { seen: seen[1], waiting: 0 }];
    let found = to_start(36, &on_the_way, Prior::USUAL, sure(0.9)).unwrap();
    let fresh = to_start(36, &[stage(2, 30), stage(1, 12)], Prior::USUAL, sure(0.9)).unwrap();
    assert_eq!(found.pieces + 40, fresh.pieces);
    assert_eq!(found.spares, fresh.spares);
    let enough = to_start(20, &on_the_way, Prior::USUAL, sure(0.9)).unwrap();
    assert_eq!((enough.pieces, enough.spares), (0, 20));
    assert!((enough.prior_share - 20.0 / 32.0).abs() < 1e-12);
    assert_eq!(to_start(0, &[], Prior::USUAL, sure(0.9)).unwrap().pieces, 0);
}

#[test]
fn what_can_not_be_is_refused_in_words() {
    assert_eq!(
        Seen::new(4, 3).unwrap_err().to_string(),
        "4 scrap of 3 pieces seen is not possible"
    );
    let all_scrap = to_start(100, &[stage(5000, 5000)], Prior::USUAL, sure(0.95)).unwrap_err();
    assert!(matches!(all_scrap, SparesError::TooManySpares { need: 100, .. }), "{all_scrap}");
    assert!(matches!(
        to_start(u32::MAX, &[], Prior::USUAL, sure(0.9)),
        Err(SparesError::TooManyPieces { .. })
    ));
    assert!(Sureness::new(100.0).is_err());
    assert_eq!(blanks(45, 2), Ok(23));
    assert_eq!(blanks(45, 0), Err(SparesError::NoBlank));
    let large = to_start(100_000, &[stage(500, 10_000)], Prior::USUAL, sure(0.9));
    assert!(matches!(large, Err(SparesError::TooManySpares { .. })));
}

fn stages() -> impl Strategy<Value = Vec<Stage>> {
    let one = (0..200_u32, 0..60_u32, 0..30_u32).prop_map(|(of, scrap, waiting)| Stage {
        seen: Seen::new(scrap.min(of / 3), of).unwrap(),
        waiting,
    });
    proptest::collection::vec(one, 1..5)
}

proptest! {
    #[test]
    fn spares_grow_with_the_confidence_and_with_scrap_seen(
        need in 1..150_u32, stages in stages(), at in 0..5_usize, low in 50.0..95.0_f64, more in 0.0..4.0_f64,
    ) {
        let (asked, surer) = (Sureness::new(low).unwrap(), Sureness::new(low + more).unwrap());
        let found = to_start(need, &stages, Prior::USUAL, asked).unwrap();
        prop_assert!(to_start(need, &stages, Prior::USUAL, surer).unwrap().spares >= found.spares);
        let mut worse = stages.clone();
        let at = at % worse.len();
        let seen = worse[at].seen;
        worse[at].seen = Seen::new(seen.scrap() + 1, seen.of() + 1).unwrap();
        prop_assert!(to_start(need, &worse, Prior::USUAL, asked).unwrap().spares >= found.spares);
    }

    #[test]
    fn the_answer_is_the_fewest_that_are_enough(need in 1..150_u32, stages in stages(), percent in 50.0..99.0_f64) {
        let found = to_start(need, &stages, Prior::USUAL, Sureness::new(percent).unwrap()).unwrap();
        prop_assert!(found.chance >= percent / 100.0 - 1e-9);
        if found.pieces > 0 {
            prop_assert!(chance(need, found.pieces - 1, &stages, Prior::USUAL) < percent / 100.0 + 1e-9);
        }
    }
}
