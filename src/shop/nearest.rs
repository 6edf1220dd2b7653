//! The name somebody probably meant.

use strsim::osa_distance;

/// Names longer than this are not compared: nobody mistypes a paragraph.
const LONGEST: usize = 100;

/// The candidates, the nearest to a typed name first; of two equally near the one that was first.
///
/// Distance is the number of single letters put in, left out, changed, or swapped with their neighbour (optimal string
/// alignment), capitals and small letters alike.
pub(crate) fn by_nearness<'a>(
    name: &str,
    candidates: impl IntoIterator<Item = &'a str>,
) -> Vec<&'a str> {
    let Some(typed) = folded(name) else { return candidates.into_iter().collect() };
    let slips = |candidate: &str| folded(candidate).map(|other| osa_distance(&typed, &other));
    let mut ordered: Vec<_> =
        candidates.into_iter().map(|name| (slips(name).unwrap_or(LONGEST), name)).collect();
    ordered.sort_by_key(|(slips, _)| *slips);
    ordered.into_iter().map(|(_, name)| name).collect()
}

/// The candidate that was probably meant, if one is near enough: within one slip in three letters, and at least one.
pub(crate) fn nearest<'a>(
    name: &str,
    candidates: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    let nearest = by_nearness(name, candidates).into_iter().next()?;
    let (typed, other) = (folded(name)?, folded(nearest)?);
    let (length, slips) = (typed.chars().count(), osa_distance(&typed, &other));
    // A one-letter name is within one slip of every other: only a change of case counts there.
    let near = slips <= (length / 3).max(1) && slips < length.max(other.chars().count());
    near.then_some(nearest)
}

/// The letters without regard to capitals; nothing for a name that is empty or too long to compare.
fn folded(name: &str) -> Option<String> {
    let letters: String =
        name.trim().chars().flat_map(char::to_lowercase).take(LONGEST + 1).collect();
    (1..=LONGEST).contains(&letters.chars().count()).then_some(letters)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_near_name_is_suggested() {
        let racks = ["drip-1", "drip-2", "loft"];
        assert_eq!(nearest("drp-2", racks), Some("drip-2"));
        assert_eq!(nearest("LOFT", racks), Some("loft"));
        assert_eq!(nearest("cellar", racks), None);
        assert_eq!(nearest("", racks), None);
        assert_eq!(nearest(&"x".repeat(10_000), racks), None);
        assert_eq!(nearest("a", ["b", "A"]), Some("A"));
    }
}
