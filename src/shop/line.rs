//! Lines that people type (reasons, names of customers, notes): what a line may hold, and how it is shown if it holds
//! anything else. A file of an older version, or a setup from elsewhere, can hold anything.

use std::borrow::Cow;

/// The longest line, in characters.
pub(crate) const LONGEST: usize = 1000;

/// Why a text isn't a line that can be kept.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub(crate) enum LineError {
    #[error("it is empty: say it in words")]
    Empty,
    #[error("it has {0} characters: say it in at most {LONGEST}")]
    TooLong(usize),
    #[error("it holds a character that can't be seen ({0}): leave it out")]
    Unseen(String),
}

/// A line as it is kept: without blanks around it, and with nothing in it that moves a cursor or turns letters round.
pub(crate) fn typed(text: &str) -> Result<String, LineError> {
    let text = text.trim();
    let length = text.chars().count();
    if text.is_empty() {
        return Err(LineError::Empty);
    }
    if length > LONGEST {
        return Err(LineError::TooLong(length));
    }
    text.chars().find(|letter| unseen(*letter)).map_or_else(
        || Ok(text.to_owned()),
        |letter| Err(LineError::Unseen(format!("U+{:04X}", u32::from(letter)))),
    )
}

/// Control characters of both sets, line separators, marks that turn the direction of writing, and what has no width and
/// no use in any script: a terminal obeys the first, and the others make one text look like another.
fn unseen(letter: char) -> bool {
    letter.is_control()
        || matches!(
            letter,
            '\u{061C}' | '\u{200B}' | '\u{200E}' | '\u{200F}' | '\u{2028}'..='\u{202E}'
        )
        || matches!(letter, '\u{2060}'..='\u{206F}' | '\u{FEFF}' | '\u{FFF9}'..='\u{FFFB}')
        || matches!(letter, '\u{E0000}'..='\u{E007F}')
}

/// The text with a sign for each character that can't be seen; line ends and tabs stay.
pub(crate) fn visible(text: &str) -> Cow<'_, str> {
    replaced(text, |letter| match u32::from(letter) {
        // The pictures of control characters stand in the order of these.
        code @ 0..=0x1F => char::from_u32(0x2400 + code).map_or_else(String::new, String::from),
        0x7F => "\u{2421}".to_owned(),
        code => format!("<U+{code:04X}>"),
    })
}

/// JSON with what can't be seen as escapes. Outside its strings JSON is ASCII, so that each of these stands in one.
pub(crate) fn escaped_json(text: &str) -> Cow<'_, str> {
    replaced(text, |letter| {
        let mut units = [0; 2];
        let units = letter.encode_utf16(&mut units).iter();
        units.fold(String::new(), |escaped, unit| escaped + &format!("\\u{unit:04x}"))
    })
}

fn replaced(text: &str, sign: impl Fn(char) -> String) -> Cow<'_, str> {
    let shown = |letter: char| unseen(letter) && !matches!(letter, '\n' | '\t');
    if !text.contains(shown) {
        return Cow::Borrowed(text);
    }
    let mut replaced = String::with_capacity(text.len());
    for letter in text.chars() {
        if shown(letter) {
            replaced.push_str(&sign(letter));
        } else {
            replaced.push(letter);
        }
    }
    Cow::Owned(replaced)
}
