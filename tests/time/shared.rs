//! Reading of the check rows.

use std::path::Path;

use tackfree::time::typed::read_rfc3339;
use tackfree::time::{Instant, Zone};

/// The rows of a check file by column name, without its source line. Fails on an empty file.
#[track_caller]
pub(crate) fn rows(file: &str) -> Vec<Row> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/checks").join(file);
    let mut reader =
        csv::ReaderBuilder::new().comment(Some(b'#')).from_path(&path).expect("the check file");
    let names: Vec<String> = reader.headers().expect("names").iter().map(str::to_owned).collect();
    let rows: Vec<Row> = reader
        .records()
        .map(|record| Row {
            names: names.clone(),
            values: record.expect("a row").iter().map(str::to_owned).collect(),
        })
        .collect();
    assert!(!rows.is_empty(), "{file} has no rows");
    rows
}

/// One row of a check file.
#[derive(Debug)]
pub(crate) struct Row {
    names: Vec<String>,
    values: Vec<String>,
}

impl Row {
    #[track_caller]
    pub(crate) fn get(&self, name: &str) -> &str {
        let place = self.names.iter().position(|known| known == name).expect("a known column");
        &self.values[place]
    }

    #[track_caller]
    pub(crate) fn zone(&self) -> Zone {
        self.get("zone").parse().expect("a zone")
    }

    #[track_caller]
    pub(crate) fn at(&self, name: &str) -> Instant {
        at(self.get(name))
    }
}

/// A moment written with its offset.
#[track_caller]
pub(crate) fn at(text: &str) -> Instant {
    read_rfc3339(text).expect(text)
}

/// The zone of the design's shop.
pub(crate) const DUBLIN: Zone = Zone::Europe__Dublin;
