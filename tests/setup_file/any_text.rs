//! Whatever the text, reading it answers, and every fault can be drawn.

use proptest::prelude::*;
use tackfree::report::faults::render;
use tackfree::shop::setup::{read, starting_file};
use unicode_width::UnicodeWidthStr as _;

/// Reads, and checks that each fault stands where it says and can be drawn within a width.
fn check(text: &str, width: usize) {
    let Err(faults) = read(text) else { return };
    assert!(!faults.is_empty(), "refused without a fault");
    let lines: Vec<&str> = text.split('\n').collect();
    let mut last = 0;
    for fault in &faults {
        let before = text.get(..fault.span.start).expect("on a character");
        assert!(text.get(fault.span.clone()).is_some(), "{fault:?}");
        assert_eq!(before.matches('\n').count() + 1, fault.line);
        let line = lines[fault.line - 1];
        assert!(fault.column <= line.chars().count() + 1, "{fault:?}");
        assert!(last <= fault.span.start, "out of order: {fault:?}");
        assert!(!fault.to_string().contains('\n'), "{fault:?}");
        last = fault.span.start;
    }
    let few = &faults[..faults.len().min(5)];
    for line in render("shop.toml", text, few, width, false).lines() {
        assert!(line.width() <= width.max(30), "{} columns of {width}: {line}", line.width());
    }
}

/// One slip in the starting file: bytes or lines out, in, doubled, or moved.
#[derive(Debug, Clone)]
enum Slip {
    Cut(usize, usize),
    Type(usize, String),
    Double(usize, usize),
    DropLine(usize),
    DoubleLine(usize),
    SwapLines(usize, usize),
}

fn slip() -> impl Strategy<Value = Slip> {
    let at = 0..starting_file().len();
    let line = 0..starting_file().lines().count();
    prop_oneof![
        (at.clone(), 1..30_usize).prop_map(|(at, length)| Slip::Cut(at, length)),
        (at.clone(), "[\\[\\]{}\",=.#'0-9a-z\\n\\\\é☂\u{202e}-]{1,6}")
            .prop_map(|(at, typed)| Slip::Type(at, typed)),
        (at, 1..60_usize).prop_map(|(at, length)| Slip::Double(at, length)),
        line.clone().prop_map(Slip::DropLine),
        line.clone().prop_map(Slip::DoubleLine),
        (line.clone(), line).prop_map(|(one, other)| Slip::SwapLines(one, other)),
    ]
}

/// The nearest place for a character not after `at`.
fn boundary(text: &str, at: usize) -> usize {
    (0..=at.min(text.len())).rev().find(|&at| text.is_char_boundary(at)).unwrap_or(0)
}

fn slipped(text: &str, slip: &Slip) -> String {
    let mut lines: Vec<&str> = text.lines().collect();
    let cut = |at: usize, length: usize| (boundary(text, at), boundary(text, at + length));
    match slip {
        Slip::Cut(at, length) => {
            let (from, to) = cut(*at, *length);
            format!("{}{}", &text[..from], &text[to..])
        }
        Slip::Type(at, typed) => {
            let at = boundary(text, *at);
            format!("{}{typed}{}", &text[..at], &text[at..])
        }
        Slip::Double(at, length) => {
            let (from, to) = cut(*at, *length);
            format!("{}{}", &text[..to], &text[from..])
        }
        Slip::DropLine(at) if *at < lines.len() => {
            lines.remove(*at);
            lines.join("\n")
        }
        Slip::DoubleLine(at) if *at < lines.len() => {
            lines.insert(*at, lines[*at]);
            lines.join("\n")
        }
        Slip::SwapLines(one, other) if *one.max(other) < lines.len() => {
            lines.swap(*one, *other);
            lines.join("\n")
        }
        _ => text.to_owned(),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn any_text_is_answered(text in any::<String>(), width in 10_usize..120) {
        check(&text, width);
    }

    #[test]
    fn any_text_of_toml_s_own_signs_is_answered(
        text in "([\\[\\]{}\",=.#' \\n\\\\0-9]|nan|inf|name|steps|each|shop|rack|finish|recipe|\"1d\"|é|\\t|\\r){0,60}",
        width in 30_usize..100,
    ) {
        check(&text, width);
    }

    #[test]
    fn a_slip_in_the_starting_file_is_answered(
        slips in prop::collection::vec(slip(), 1..5),
        width in 30_usize..100,
    ) {
        let text = slips.iter().fold(starting_file().to_owned(), |text, slip| slipped(&text, slip));
        check(&text, width);
    }
}

#[test]
fn deep_and_long_texts_are_answered() {
    for text in [
        "[".repeat(100_000),
        format!("a = {}", "[".repeat(100_000)),
        format!("a = {}1{}", "{a=".repeat(1000), "}".repeat(1000)),
        "a.".repeat(50_000),
        "\u{feff}[shop]".to_owned(),
        "x\n".repeat(20_000),
        "[[rack]]\nslotts = 1\n".repeat(2_000),
        format!("[shop]\nname = \"{}\"", "a".repeat(1_000_000)),
        format!("[shop]\nhands = {}", "9".repeat(100_000)),
        format!("[shop]\ntimezone = \"{}\"", "é".repeat(100_000)),
    ] {
        assert!(read(&text).is_err());
    }
}
