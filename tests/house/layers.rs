//! Who may import whom, read from the sources themselves.

use std::{fs, path::Path};

/// Layer, and the layers it may name with `crate::`.
const MAY: &[(&str, &[&str])] = &[
    ("numerics", &["numerics"]),
    ("domain", &["domain"]),
    ("statistics", &["domain", "numerics", "statistics"]),
    ("formats", &["domain", "formats", "statistics"]),
    ("store", &["domain", "statistics", "store"]),
    ("demo", &["demo", "domain", "statistics"]),
    (
        "actions",
        &[
            "actions",
            "demo",
            "domain",
            "formats",
            "statistics",
            "store",
        ],
    ),
    ("upkeep", &["actions", "domain", "store"]),
    (
        "web",
        &[
            "actions",
            "demo",
            "domain",
            "formats",
            "settings",
            "statistics",
            "store",
            "web",
        ],
    ),
];

pub fn sources(folder: &Path, found: &mut Vec<(String, String)>) {
    for entry in fs::read_dir(folder).expect("the folder is there") {
        let path = entry.expect("readable").path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            let name = path
                .strip_prefix(root())
                .expect("inside")
                .to_string_lossy()
                .into_owned();
            found.push((name, fs::read_to_string(&path).expect("text")));
        }
    }
}

pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn all() -> Vec<(String, String)> {
    let mut found = Vec::new();
    sources(&root().join("src"), &mut found);
    found
}

/// The layers named in a source by `crate::…`, also inside `use crate::{a::…, b::…}`.
fn named(text: &str) -> Vec<String> {
    let code: String = text
        .lines()
        .filter(|line| !line.trim_start().starts_with("//"))
        .collect::<Vec<_>>()
        .join("\n");
    let mut layers = Vec::new();
    for (at, _) in code.match_indices("crate::") {
        let rest = &code[at + "crate::".len()..];
        if let Some(group) = rest.strip_prefix('{') {
            let (mut depth, mut word) = (0, String::new());
            for letter in group.chars() {
                match letter {
                    '{' => depth += 1,
                    '}' if depth == 0 => break,
                    '}' => depth -= 1,
                    ',' if depth == 0 => layers.push(std::mem::take(&mut word)),
                    _ if depth == 0 => word.push(letter),
                    _ => {}
                }
            }
            layers.push(word);
        } else {
            layers.push(rest.to_owned());
        }
    }
    layers
        .iter()
        .map(|path| {
            path.trim()
                .split(|c: char| !c.is_alphanumeric() && c != '_')
                .next()
                .unwrap_or("")
                .to_owned()
        })
        .filter(|layer| !layer.is_empty())
        .collect()
}

#[test]
fn nothing_imports_upwards() {
    let mut wrong = Vec::new();
    for (name, text) in all() {
        let layer = name
            .trim_start_matches("src/")
            .split(['/', '.'])
            .next()
            .unwrap_or("")
            .to_owned();
        let Some((_, may)) = MAY.iter().find(|(known, _)| *known == layer) else {
            continue;
        };
        for other in named(&text) {
            if !may.contains(&other.as_str()) {
                wrong.push(format!("{name} names {other}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn only_the_store_names_sqlx_and_only_the_web_names_axum_and_askama() {
    let mut wrong = Vec::new();
    for (name, text) in all() {
        let says = |word: &str| {
            text.contains(&format!("{word}::")) || text.contains(&format!("use {word}"))
        };
        if says("sqlx") && !name.starts_with("src/store/") && name != "src/build.rs" {
            wrong.push(format!("{name} names sqlx"));
        }
        if (says("axum") || says("askama")) && !name.starts_with("src/web/") {
            wrong.push(format!("{name} names axum or askama"));
        }
        if text.contains(".write().await") && !name.starts_with("src/actions/") {
            wrong.push(format!("{name} asks for a write transaction"));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn every_module_says_what_is_here() {
    let silent: Vec<_> = all()
        .into_iter()
        .filter(|(_, text)| !text.starts_with("//!"))
        .map(|(name, _)| name)
        .collect();
    assert!(silent.is_empty(), "{silent:#?}");
}

#[test]
fn no_template_marks_text_as_safe_or_carries_its_own_style_or_script() {
    fn templates(folder: &Path, wrong: &mut Vec<String>) {
        for entry in fs::read_dir(folder).expect("the folder is there") {
            let path = entry.expect("readable").path();
            if path.is_dir() {
                templates(&path, wrong);
                continue;
            }
            if path.extension().is_none_or(|e| e != "html") {
                continue;
            }
            let text = fs::read_to_string(&path).expect("text");
            for word in ["|safe", "| safe", "style=\"", "<style", "onclick", "onload"] {
                if text.contains(word) {
                    wrong.push(format!("{}: {word}", path.display()));
                }
            }
        }
    }
    let mut wrong = Vec::new();
    templates(&root().join("templates"), &mut wrong);
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn every_setting_is_in_the_readme() {
    let readme = fs::read_to_string(root().join("README.md")).expect("text");
    for setting in peglore::settings::TABLE {
        assert!(
            readme.contains(&format!("`{}`", setting.name)),
            "{} is not in the README",
            setting.name
        );
    }
}
