//! Names people give: batches, lots, cans, racks.

use std::fmt;
use std::str::FromStr;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use unicode_security::skeleton;

use crate::time::as_text;

/// The longest name, in characters: a rack card and a 60-column screen still show it whole.
pub(crate) const LONGEST: usize = 40;

/// Why a text isn't a name.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NameError {
    #[error("a name can't be empty")]
    Empty,
    #[error("{0:?} is too long for a name: at most {LONGEST} characters")]
    TooLong(String),
    #[error("{0:?} can't be a name: expected letters, digits, '-', '_' or '.', and no blanks")]
    Characters(String),
    #[error("{0:?} isn't a lot: expected a batch's name, a hyphen and a number, such as salt-3")]
    NotALot(String),
}

/// Checks a name that is typed often (a batch, a can): one word.
pub(crate) fn word(text: &str) -> Result<String, NameError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(NameError::Empty);
    }
    if text.chars().count() > LONGEST {
        return Err(NameError::TooLong(text.chars().take(LONGEST).collect()));
    }
    let fits = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '.');
    if !text.chars().all(fits) || text.starts_with('-') {
        return Err(NameError::Characters(text.to_owned()));
    }
    Ok(text.to_owned())
}

/// What a name looks like: two that look the same are the same to whoever reads a card on a rack, whatever letters they
/// are of (UTS #39), capital or not.
pub(crate) fn looks(name: &str) -> String {
    skeleton(&name.to_lowercase()).collect::<String>().to_lowercase()
}

/// Whether two names can be taken for each other.
pub(crate) fn alike(one: &str, other: &str) -> bool {
    let capital = |name: &str| skeleton(name).collect::<String>().to_lowercase();
    looks(one) == looks(other) || capital(one) == capital(other)
}

/// Whether two are the same but for capitals and blanks around them.
pub(crate) fn same(one: &str, other: &str) -> bool {
    one.trim().to_lowercase() == other.trim().to_lowercase()
}

/// A lot's name: its batch's name, a hyphen, a number.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, JsonSchema, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct LotName {
    /// The batch it belongs to.
    pub batch: String,
    /// From 1, in the order of their making.
    pub number: u32,
}

impl FromStr for LotName {
    type Err = NameError;
    fn from_str(text: &str) -> Result<Self, NameError> {
        let text = text.trim();
        let parts = text.rsplit_once('-').and_then(|(batch, number)| {
            let plain = !number.starts_with('+') && !number.starts_with('0');
            Some((batch, number.parse().ok().filter(|_| plain)?))
        });
        let (batch, number) = parts.ok_or_else(|| NameError::NotALot(text.to_owned()))?;
        Ok(Self { batch: word(batch)?, number })
    }
}

as_text!(LotName, |name| name.to_string());

impl fmt::Display for LotName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{}-{}", self.batch, self.number))
    }
}
