//! No file is longer than one can keep in mind.

use super::tree::below;

/// Lines; whatever is longer holds two subjects.
const MOST_LINES: usize = 400;

#[test]
fn no_file_is_over_four_hundred_lines() {
    let found = [below("src", "rs"), below("tests", "rs")].concat();
    assert!(found.len() > 300, "only {} files were found", found.len());
    let long: Vec<_> = found
        .iter()
        .map(|(name, text)| (name, text.lines().count()))
        .filter(|(_, lines)| *lines > MOST_LINES)
        .collect();
    assert!(long.is_empty(), "to be split by subject: {long:#?}");
}
