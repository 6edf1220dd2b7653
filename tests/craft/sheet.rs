//! Reads the tables of check values: one line that names the source, a header, then the rows.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// One row, by the names of the header.
pub(crate) struct Row {
    place: String,
    cells: BTreeMap<String, String>,
}

impl Row {
    /// The cell as text.
    #[track_caller]
    pub(crate) fn text(&self, name: &str) -> &str {
        self.cells.get(name).unwrap_or_else(|| panic!("{}: no column {name}", self.place))
    }

    /// The cell as a number.
    #[track_caller]
    pub(crate) fn number(&self, name: &str) -> f64 {
        let text = self.text(name);
        text.parse().unwrap_or_else(|_| panic!("{}: {name} is {text:?}", self.place))
    }

    /// The cell as a whole number.
    #[track_caller]
    pub(crate) fn whole<T: std::str::FromStr>(&self, name: &str) -> T {
        let text = self.text(name);
        text.parse().unwrap_or_else(|_| panic!("{}: {name} is {text:?}", self.place))
    }

    /// The cell as a number, if it holds one.
    #[track_caller]
    pub(crate) fn maybe(&self, name: &str) -> Option<f64> {
        (!self.text(name).is_empty()).then(|| self.number(name))
    }

    /// The cell as JSON.
    #[track_caller]
    pub(crate) fn json<T: serde::de::DeserializeOwned>(&self, name: &str) -> T {
        serde_json::from_str(self.text(name)).unwrap()
    }

    /// Fails unless `got` is the whole number of the cell.
    #[track_caller]
    #[expect(clippy::needless_pass_by_value, reason = "what is compared are numbers")]
    pub(crate) fn same<T: std::str::FromStr + PartialEq + std::fmt::Debug>(
        &self,
        name: &str,
        got: T,
    ) {
        let want: T = self.whole(name);
        assert!(got == want, "{}: {name} is {want:?}, got {got:?}", self.place);
    }

    /// Fails unless `got` lies within `tolerance` of the cell.
    #[track_caller]
    pub(crate) fn close(&self, name: &str, got: f64, tolerance: f64) {
        let want = self.number(name);
        let apart = (got - want).abs();
        assert!(apart <= tolerance, "{}: {name} is {want}, got {got} ({apart} apart)", self.place);
    }
}

/// Fails unless two numbers are the same but for rounding.
#[track_caller]
pub(crate) fn assert_close(got: f64, want: f64) {
    assert!((got - want).abs() <= 1e-9 * want.abs().max(1.0), "expected {want}, got {got}");
}

/// All rows of a table. Its first line has to name where the values come from.
pub(crate) fn rows(name: &str) -> Vec<Row> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/checks").join(name);
    let text = fs::read_to_string(&path).unwrap();
    let (source, table) = text.split_once('\n').unwrap();
    assert!(source.starts_with("# ") && source.len() > 20, "{name} names no source");
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let header = reader.headers().unwrap().clone();
    let rows: Vec<Row> = reader
        .records()
        .enumerate()
        .map(|(index, record)| Row {
            place: format!("{name} row {}", index + 1),
            cells: header
                .iter()
                .map(str::to_owned)
                .zip(record.unwrap().iter().map(str::to_owned))
                .collect(),
        })
        .collect();
    assert!(!rows.is_empty(), "{name} is empty");
    rows
}
