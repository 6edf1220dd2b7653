//! A command line, split into words as a shell splits them.

/// Words are parted by blanks; quotes of either kind keep blanks, and a backslash keeps the next letter except between
/// single quotes.
#[track_caller]
pub(super) fn split(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    let mut word: Option<String> = None;
    let mut quote: Option<char> = None;
    let mut letters = line.chars();
    while let Some(letter) = letters.next() {
        match (quote, letter) {
            (Some(open), _) if letter == open => quote = None,
            (None, '"' | '\'') => {
                quote = Some(letter);
                word.get_or_insert_default();
            }
            (None | Some('"'), '\\') => {
                word.get_or_insert_default().push(letters.next().expect("a letter after \\"));
            }
            (None, _) if letter.is_whitespace() => words.extend(word.take()),
            _ => word.get_or_insert_default().push(letter),
        }
    }
    assert!(quote.is_none(), "a quote is not closed: {line}");
    words.extend(word);
    words
}

#[test]
fn words_are_split_as_a_shell_splits_them() {
    let line = r#"done  salt-3 --anyway "tested a \"scrap\"" --why '' 'a\b'c d\ e"#;
    let expected =
        ["done", "salt-3", "--anyway", "tested a \"scrap\"", "--why", "", "a\\bc", "d e"];
    assert_eq!(split(line), expected);
}
