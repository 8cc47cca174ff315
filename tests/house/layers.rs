//! Who may import whom, read from the sources themselves.

use super::tree::{below, code};

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
    (
        "cli",
        &[
            "actions",
            "cli",
            "demo",
            "domain",
            "formats",
            "memory",
            "settings",
            "statistics",
            "store",
            "upkeep",
            "web",
        ],
    ),
    // Set from outside, told once; the table of contents, the first line, the builder's own.
    ("settings", &["domain"]),
    ("memory", &[]),
    ("lib", &[]),
    ("main", &[]),
    ("build", &[]),
];

/// Layers of plain values: they may name these crates and no other, and nothing of the machine.
const PURE: &[(&str, &[&str])] = &[
    ("numerics", &["rand", "serde", "statrs", "thiserror"]),
    (
        "domain",
        &[
            "jiff",
            "serde",
            "serde_json",
            "sha2",
            "unicode_normalization",
        ],
    ),
    ("statistics", &["rand", "serde", "thiserror"]),
    ("formats", &["csv", "encoding_rs", "jiff", "serde", "sha2"]),
    ("demo", &["rand"]),
];

/// What a pure layer never touches.
const MACHINE: [&str; 7] = [
    "std::fs",
    "std::env",
    "std::net",
    "std::process",
    "std::thread",
    "async fn",
    "println!",
];

/// Ways to ask what time it is; a stop-watch (`std::time::Instant`) is none.
const CLOCKS: [&str; 3] = ["Timestamp::now", "Zoned::now", "SystemTime::now"];

/// `numerics` of `numerics/glm.rs` and of `numerics.rs`.
fn layer_of(name: &str) -> &str {
    name.split(['/', '.']).next().unwrap_or("")
}

/// The crates of Cargo.toml as code names them.
fn crates() -> Vec<String> {
    include_str!("../../Cargo.toml")
        .lines()
        .skip_while(|line| *line != "[dependencies]")
        .take_while(|line| *line != "[dev-dependencies]")
        .filter_map(|line| line.split_once(" = "))
        .map(|(name, _)| name.replace('-', "_"))
        .collect()
}

/// The layers named in a source by `crate::…`, also inside `use crate::{a::…, b::…}`.
fn named(text: &str) -> Vec<String> {
    let code = code(text);
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
    for (name, text) in below("src", "rs") {
        let layer = layer_of(&name);
        let Some((_, may)) = MAY.iter().find(|(known, _)| *known == layer) else {
            panic!("{name} belongs to no layer of the table");
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
    for (name, text) in below("src", "rs") {
        let says = |word: &str| {
            text.contains(&format!("{word}::")) || text.contains(&format!("use {word}"))
        };
        let layer = layer_of(&name);
        if says("sqlx") && layer != "store" && layer != "build" {
            wrong.push(format!("{name} names sqlx"));
        }
        if (says("axum") || says("askama")) && layer != "web" {
            wrong.push(format!("{name} names axum or askama"));
        }
        if text.contains(".write().await") && layer != "actions" {
            wrong.push(format!("{name} asks for a write transaction"));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn what_is_pure_knows_neither_the_machine_nor_a_crate_that_does() {
    let crates = crates();
    assert!(crates.len() > 20, "{crates:?}");
    let mut wrong = Vec::new();
    for (name, text) in below("src", "rs") {
        let code = code(&text);
        let Some((_, may)) = PURE.iter().find(|(pure, _)| *pure == layer_of(&name)) else {
            continue;
        };
        for word in MACHINE.iter().filter(|word| code.contains(**word)) {
            wrong.push(format!("{name} says {word}"));
        }
        // A module of ours may bear a crate's name (`super::csv::`).
        let foreign = crates.iter().filter(|one| !may.contains(&one.as_str()));
        for one in foreign {
            let begins = [
                format!("use {one}::"),
                format!(" {one}::"),
                format!("({one}::"),
            ];
            if begins.iter().any(|begin| code.contains(begin)) {
                wrong.push(format!("{name} names {one}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn only_the_web_and_the_command_line_read_the_clock() {
    let mut wrong = Vec::new();
    for (name, text) in below("src", "rs") {
        let code = code(&text);
        let may = ["web", "cli"].contains(&layer_of(&name));
        for clock in CLOCKS.iter().filter(|clock| !may && code.contains(**clock)) {
            wrong.push(format!("{name} says {clock}"));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn every_module_says_what_is_here() {
    let silent: Vec<_> = below("src", "rs")
        .into_iter()
        .filter(|(_, text)| !text.starts_with("//!"))
        .map(|(name, _)| name)
        .collect();
    assert!(silent.is_empty(), "{silent:#?}");
}

#[test]
fn every_crate_is_there_for_a_reason_that_stands_beside_it() {
    let mut within = false;
    for line in include_str!("../../Cargo.toml").lines() {
        if line.starts_with('[') {
            within = line.ends_with("dependencies]");
            continue;
        }
        if !within || !line.contains(" = ") {
            continue;
        }
        let reason = line.rsplit_once("# ").map_or("", |(_, reason)| reason);
        assert!(reason.len() > 2, "no reason: {line}");
    }
}

// One that nothing names is built for nothing, whatever its reason says.
#[test]
fn every_crate_is_named_by_some_source() {
    let sources = below("src", "rs");
    for one in crates() {
        // Its features alone are wanted.
        let chosen_only = one == "flate2" || one.starts_with('[');
        let named = [format!("{one}::"), format!("use {one}")];
        let found = sources.iter().any(|(_, text)| {
            let code = code(text);
            named.iter().any(|named| code.contains(named))
        });
        assert!(found || chosen_only, "{one}");
    }
}
