//! The reference tables of `tests/data`, read column by column.

use std::{collections::HashMap, path::Path};

/// A file of `tests/data` as rows of text by column name.
pub fn rows(file: &str) -> Vec<HashMap<String, String>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(file);
    let mut reader = csv::Reader::from_path(&path).expect("a reference file of ours");
    reader
        .deserialize()
        .collect::<Result<_, _>>()
        .expect("a well-formed reference file")
}

/// A number of such a row; `None` where the file leaves it out.
pub fn number(row: &HashMap<String, String>, column: &str) -> Option<f64> {
    let text = row.get(column).expect("a column of the file");
    (!text.is_empty() && text != "NA").then(|| text.parse().expect("a number"))
}

/// Fails unless `got` lies within `tolerance` of `want`, relative to the larger of `want` and 1.
#[track_caller]
pub fn close(got: f64, want: f64, tolerance: f64) {
    let gap = (got - want).abs() / want.abs().max(1.0);
    assert!(gap <= tolerance, "got {got}, want {want}, off by {gap:e}");
}
