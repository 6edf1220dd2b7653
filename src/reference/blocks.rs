//! The plain form all files of the reference share: `key: value`, sections headed `== name`, lists of `- item`.
//!
//! A line that begins with a space goes on with the one before; a line that begins with `#` is for the person who mends
//! the file; a blank line ends a block.

use super::fault::{Fault, FaultKind};

/// A line of a file with its number, counted from 1.
pub(super) type Line<'a> = (usize, &'a str);

/// One `key: value`.
#[derive(Debug, Clone)]
pub(super) struct Field {
    pub(super) key: String,
    pub(super) value: String,
    pub(super) line: usize,
}

/// Fields that stand together; blank lines part blocks.
#[derive(Debug, Clone)]
pub(super) struct Block {
    pub(super) line: usize,
    fields: Vec<Field>,
}

/// The lines under one `== name`; the lines before the first have no name.
#[derive(Debug)]
pub(super) struct Section<'a> {
    pub(super) name: &'a str,
    pub(super) line: usize,
    pub(super) lines: Vec<Line<'a>>,
}

/// Parts a file into sections; the first is the header, with an empty name.
pub(super) fn sections(text: &str) -> Vec<Section<'_>> {
    let mut all = vec![Section { name: "", line: 1, lines: Vec::new() }];
    for (at, line) in text.lines().enumerate() {
        if line.starts_with('#') {
            continue;
        }
        if let Some(name) = line.strip_prefix("== ") {
            all.push(Section { name: name.trim(), line: at + 1, lines: Vec::new() });
        } else if let Some(last) = all.last_mut() {
            last.lines.push((at + 1, line.trim_end()));
        }
    }
    all
}

/// Reads lines as blocks of fields.
pub(super) fn blocks(file: &str, lines: &[Line<'_>]) -> Result<Vec<Block>, Fault> {
    let mut all: Vec<Block> = Vec::new();
    let mut open = false;
    for &(at, line) in lines {
        if line.is_empty() {
            open = false;
            continue;
        }
        let stray = || Fault::at(file, at, FaultKind::Stray(line.to_owned()));
        if line.starts_with(' ') {
            let field = all.last_mut().filter(|_| open).and_then(|block| block.fields.last_mut());
            let field = field.ok_or_else(stray)?;
            field.value.push(' ');
            field.value.push_str(line.trim());
            continue;
        }
        let (key, value) = line.split_once(':').ok_or_else(stray)?;
        let field = Field { key: key.trim().to_owned(), value: value.trim().to_owned(), line: at };
        if !open {
            all.push(Block { line: at, fields: Vec::new() });
            open = true;
        }
        if let Some(block) = all.last_mut() {
            if block.fields.iter().any(|other| other.key == field.key) {
                return Err(Fault::at(file, at, FaultKind::Twice(field.key)));
            }
            block.fields.push(field);
        }
    }
    Ok(all)
}

/// Reads lines as a list of `- item`.
pub(super) fn items(file: &str, lines: &[Line<'_>]) -> Result<Vec<String>, Fault> {
    let mut all: Vec<String> = Vec::new();
    for &(at, line) in lines.iter().filter(|(_, line)| !line.is_empty()) {
        if let Some(item) = line.strip_prefix("- ") {
            all.push(item.trim().to_owned());
        } else if let Some(last) = all.last_mut().filter(|_| line.starts_with(' ')) {
            last.push(' ');
            last.push_str(line.trim());
        } else {
            return Err(Fault::at(file, at, FaultKind::Stray(line.to_owned())));
        }
    }
    Ok(all)
}

/// Joins lines into one paragraph.
pub(super) fn paragraph(lines: &[Line<'_>]) -> String {
    lines
        .iter()
        .map(|(_, line)| line.trim())
        .filter(|l| !l.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

/// Splits a text at its commas.
pub(super) fn phrases(text: &str) -> Vec<String> {
    text.split(',').map(str::trim).filter(|p| !p.is_empty()).map(str::to_owned).collect()
}

impl Block {
    /// The value of a field, where it is there and not empty.
    pub(super) fn get(&self, key: &str) -> Option<&Field> {
        self.fields.iter().find(|field| field.key == key && !field.value.is_empty())
    }

    /// The value of a field that must be there.
    pub(super) fn need(&self, file: &str, what: &str, key: &'static str) -> Result<&Field, Fault> {
        self.get(key).ok_or_else(|| {
            Fault::at(file, self.line, FaultKind::Missing { what: what.to_owned(), field: key })
        })
    }

    /// Refuses a field that no such block has.
    pub(super) fn only(&self, file: &str, keys: &[&str]) -> Result<(), Fault> {
        match self.fields.iter().find(|field| !keys.contains(&field.key.as_str())) {
            Some(field) => Err(Fault::at(file, field.line, FaultKind::Unknown(field.key.clone()))),
            None => Ok(()),
        }
    }

    /// All fields, in the order of the file.
    pub(super) fn fields(&self) -> &[Field] {
        &self.fields
    }
}
