//! The name somebody probably meant.

/// Names longer than this are not compared: nobody mistypes a paragraph.
const LONGEST: usize = 100;

/// The candidate nearest to a mistyped name, if one is near enough to be meant; of two equally near the first.
///
/// Distance is the number of single letters put in, left out, changed, or swapped with their neighbour (optimal string
/// alignment), capitals and small letters alike. Near enough is one slip in three letters, and at least one.
pub fn nearest<'a>(name: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let typed = folded(name)?;
    let allowed = (typed.len() / 3).max(1);
    let mut best: Option<(usize, &str)> = None;
    for candidate in candidates {
        let Some(letters) = folded(candidate) else { continue };
        // A one-letter name is within one slip of every other: only a change of case counts there.
        let slips = distance(&typed, &letters);
        let near = slips <= allowed && (slips < typed.len().max(letters.len()));
        if near && best.is_none_or(|(fewest, _)| slips < fewest) {
            best = Some((slips, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// The letters without regard to capitals; nothing for a name that is empty or too long to compare.
fn folded(name: &str) -> Option<Vec<char>> {
    let letters: Vec<char> =
        name.trim().chars().flat_map(char::to_lowercase).take(LONGEST + 1).collect();
    (1..=LONGEST).contains(&letters.len()).then_some(letters)
}

/// Optimal string alignment distance, three rows at a time.
fn distance(left: &[char], right: &[char]) -> usize {
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=right.len()).collect();
    let mut previous = None;
    for (row, &letter) in left.iter().enumerate() {
        let mut now = vec![row + 1];
        let mut other_previous = None;
        for (column, (&other, pair)) in right.iter().zip(last.windows(2)).enumerate() {
            let [diagonal, above] = [pair[0], pair[1]];
            let beside = now[column];
            let mut slips =
                (diagonal + usize::from(letter != other)).min(above + 1).min(beside + 1);
            let swapped = previous == Some(other) && other_previous == Some(letter);
            if let (true, Some(&two_back)) =
                (swapped, column.checked_sub(1).and_then(|two| before.get(two)))
            {
                slips = slips.min(two_back + 1);
            }
            now.push(slips);
            other_previous = Some(other);
        }
        before = std::mem::replace(&mut last, now);
        previous = Some(letter);
    }
    last.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn slips(left: &str, right: &str) -> usize {
        let letters = |text: &str| text.chars().collect::<Vec<_>>();
        distance(&letters(left), &letters(right))
    }

    #[test]
    fn distances_count_slips() {
        for (left, right, expected) in [
            ("slots", "slots", 0),
            ("slotts", "slots", 1),
            ("solts", "slots", 1),
            ("kitten", "sitting", 3),
            ("", "abc", 3),
            ("abc", "", 3),
            ("ca", "abc", 3),
        ] {
            assert_eq!(slips(left, right), expected, "{left} and {right}");
        }
    }

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
