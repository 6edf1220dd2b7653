//! The README's commands, as they stand there.

use crate::harness::TestShop;

const README: &str = include_str!("../README.md");

/// The first block of that kind after a heading.
fn block(heading: &str, kind: &str) -> &'static str {
    let (_, below) = README.split_once(heading).unwrap();
    let (_, block) = below.split_once(&format!("```{kind}\n")).unwrap();
    block.split_once("```").unwrap().0
}

#[test]
fn the_first_order_runs_as_it_stands() {
    let mut shop = TestShop::bare();
    shop.columns(80);
    let block = block("## A first order", "console");
    let parts: Vec<&str> = block.split("$ tackfree ").skip(1).collect();
    assert_eq!(parts.len(), 10);
    for part in parts {
        let (line, shown) = part.split_once('\n').unwrap();
        let said = shop.run(line).ok();
        // What is left out is left out at the end.
        let (shown, whole) = shown
            .trim_end()
            .strip_suffix("\n…")
            .map_or((shown.trim_end(), true), |shown| (shown, false));
        if !shown.is_empty() {
            let same = if whole { said.trim_end() == shown } else { said.starts_with(shown) };
            assert!(same, "{line}\n--- shown\n{shown}\n--- said\n{said}");
        }
    }
}

#[test]
fn the_demo_s_lines_are_the_demo_s() {
    let mut shop = TestShop::bare();
    let shown = block("## What it looks like", "text");
    assert_eq!(shown.lines().count(), 10);
    let said = shop.columns(80).run("demo").ok();
    assert!(said.contains(shown), "{said}");
}
