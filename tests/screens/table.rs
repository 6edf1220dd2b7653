//! What holds for every screen: no word is torn, none is wider than the terminal, and what is late says so and is red.

use std::collections::BTreeSet;

use super::{Both, LOOKS};

const SCREENS: [&str; 14] = [
    "",
    "today",
    "due",
    "plan --days 60",
    "racks",
    "cure cups-1 cups-2 spoons-1 --why",
    "can list",
    "batch list",
    "batch show cups",
    "lot list",
    "lot show cups-1",
    "spares cups",
    "climate show",
    "rags",
];

#[test]
fn no_word_is_torn_at_any_width() {
    let mut shops = Both::open();
    let shop = &mut shops.us;
    for line in SCREENS {
        let words = |text: &str| -> BTreeSet<String> {
            let letters = |word: &&str| word.chars().any(char::is_alphabetic);
            text.split_whitespace()
                .filter(letters)
                .map(|word| word.trim_end_matches(':').to_owned())
                .collect()
        };
        let whole = words(&shop.columns(200).run(line).ok());
        for (columns, _) in LOOKS {
            let narrow = words(&shop.columns(columns).run(line).fits().ok());
            let torn: Vec<_> =
                narrow.difference(&whole).filter(|word| !CHART.contains(&word.as_str())).collect();
            assert!(torn.is_empty(), "{line} at {columns}: {torn:?}");
        }
    }
}

/// Words that a narrower chart has and a wide one doesn't.
const CHART: [&str; 3] = ["Sep", "Oct", "h"];

/// No degree Celsius, litre or millilitre is left on a US shop's screens.
#[test]
fn a_us_shop_reads_its_own_units() {
    let shops = Both::open();
    let more = [
        "kit cups-2",
        "air --size 250ml --finish hardwax",
        "setup kinds 'danish oil'",
        "caution food",
        "trace --can H1",
        "card cups-2",
        "wall",
        "calendar",
        "remind send",
    ];
    for line in SCREENS.into_iter().chain(more) {
        let said = shops.us.run(line).stdout;
        for metric in ["°C", " ml", " L ", "m²", "m³ of", "litre"] {
            assert!(!said.contains(metric), "{metric:?} in {line}:\n{said}");
        }
    }
}

#[test]
fn what_is_late_says_so_and_is_red() {
    let mut shops = Both::open();
    shops.metric.set("CLICOLOR_FORCE", "1");
    for (line, says) in [
        ("today", "! spoons-1"),
        ("due", "OVERDUE"),
        ("racks", "OVERDUE"),
        ("plan", "days LATE"),
        ("lot show spoons-1", "OVERDUE"),
    ] {
        let said = shops.metric.run(line).ok();
        let red = |row: &str| row.contains("\u{1b}[31m") || row.contains("\u{1b}[1m\u{1b}[31m");
        assert!(said.lines().any(|row| row.contains(says) && red(row)), "{line}: {said:?}");
    }
}
