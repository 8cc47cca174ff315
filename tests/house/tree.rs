//! The project's own files, as the rules of the house read them.

use std::{fs, path::Path};

/// Every file below `folder` with this ending, by its path below it, with its text.
pub fn below(folder: &str, ending: &str) -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut found = Vec::new();
    gather(&folder, &folder, ending, &mut found);
    assert!(!found.is_empty(), "nothing in {}", folder.display());
    found
}

fn gather(top: &Path, folder: &Path, ending: &str, found: &mut Vec<(String, String)>) {
    for entry in fs::read_dir(folder).expect("the folder is there") {
        let path = entry.expect("readable").path();
        if path.is_dir() {
            gather(top, &path, ending, found);
        } else if path.extension().is_some_and(|e| e == ending) {
            let name = path.strip_prefix(top).expect("inside").to_string_lossy();
            found.push((name.into_owned(), fs::read_to_string(&path).expect("text")));
        }
    }
}

/// The lines of a source that are no comment.
pub fn code(text: &str) -> String {
    let lines = text
        .lines()
        .filter(|line| !line.trim_start().starts_with("//"));
    lines.collect::<Vec<_>>().join("\n")
}
