//! A template belongs to a page of the same folder, and a page's template to its folder.

use std::collections::BTreeSet;

use super::tree::below;

/// Folders whose templates belong to every page.
const SHARED: [&str; 3] = ["layout", "parts", "pictures"];

/// `venues` of `venues/peg.rs` and of `venues/typed/reading.rs`; empty at the top.
fn folder_of(name: &str) -> &str {
    name.split_once('/').map_or("", |(folder, _)| folder)
}

#[test]
fn every_template_belongs_to_a_page_of_its_own_folder() {
    let pages = below("src/web", "rs");
    let templates = below("templates", "html");
    for (name, _) in &templates {
        let folder = folder_of(name);
        if SHARED.contains(&folder) {
            continue;
        }
        let drawn = format!("path = \"{name}\"");
        let by_a_page = pages
            .iter()
            .any(|(page, text)| folder_of(page) == folder && text.contains(&drawn));
        let named = [format!("include \"{name}\""), format!("import \"{name}\"")];
        let by_a_template = templates.iter().any(|(other, text)| {
            folder_of(other) == folder && named.iter().any(|named| text.contains(named))
        });
        let at_the_top = folder.is_empty() && pages.iter().any(|(_, text)| text.contains(&drawn));
        assert!(
            by_a_page || by_a_template || at_the_top,
            "templates/{name} belongs to nothing in src/web/{folder}"
        );
    }
}

#[test]
fn a_page_draws_templates_of_its_own_folder_and_its_first_bears_its_name() {
    let templates: BTreeSet<String> = below("templates", "html")
        .into_iter()
        .map(|(name, _)| name)
        .collect();
    for (page, text) in below("src/web", "rs") {
        let drawn = text
            .split("#[template(path = \"")
            .skip(1)
            .filter_map(|rest| rest.split('"').next());
        for template in drawn.clone() {
            assert!(templates.contains(template), "{page}: no {template}");
            assert_eq!(folder_of(template), folder_of(&page), "{page}: {template}");
        }
        // A file that draws nothing itself holds what a part of the same name shows.
        let draws = drawn.clone().next().is_some();
        let own = page.replace(".rs", ".html");
        if draws && templates.contains(&own) {
            assert!(
                drawn.clone().any(|template| template == own),
                "{page} does not draw {own}"
            );
        }
    }
}

#[test]
fn no_template_holds_style_or_script_of_its_own() {
    for (name, text) in below("templates", "html") {
        for never in [
            " style=\"",
            "<style",
            " onclick=",
            " onload=",
            "javascript:",
            "|safe",
            "| safe",
        ] {
            assert!(!text.contains(never), "templates/{name} holds {never}");
        }
        let inline = text
            .split("<script")
            .skip(1)
            .any(|rest| !rest.split('>').next().unwrap_or("").contains("src="));
        assert!(!inline, "templates/{name} holds a script");
    }
}

// A box for numbers takes `1e5`, turns with the wheel and refuses `12-8`: ours are text.
#[test]
fn no_box_is_of_the_kind_for_numbers() {
    for (name, text) in below("templates", "html") {
        for never in ["type=\"number\"", "type=number", "type='number'"] {
            assert!(!text.contains(never), "templates/{name} holds {never}");
        }
    }
}

// A keyboard, or somebody who has the page read out, begins with what stands in the way.
#[test]
fn whatever_was_refused_takes_the_focus_without_a_script() {
    for (name, text) in below("templates", "html") {
        for rest in text.split("role=\"alert\"").skip(1) {
            let tag = rest.split('>').next().unwrap_or("");
            assert!(
                tag.contains("tabindex=\"-1\" autofocus"),
                "templates/{name}: an alert that leaves the focus elsewhere:{tag}"
            );
        }
    }
}

// A browser told so forgets what was typed, and Back after a fault brings empty boxes. The one box
// with a secret in it is a one-time link to copy.
#[test]
fn no_box_forgets_what_was_typed() {
    for (name, text) in below("templates", "html") {
        let forgets = text.contains("autocomplete=\"off\"") || text.contains("complete=\"off\"");
        assert!(
            !forgets || name == "committee/link.html",
            "templates/{name} turns autocomplete off"
        );
    }
}

/// A gap in a table is one mark everywhere, `figures::GAP`: whoever reads two tables need not ask
/// whether two dashes mean two things.
#[test]
fn the_mark_for_a_gap_is_written_in_one_place() {
    for (name, text) in below("templates", "html") {
        // What may be typed is no gap of the page's own.
        let text = text.replace("<code>-</code>", "");
        for dash in ["-", "–", "—"] {
            for (before, after) in [(">", "<"), ("%}", "{%")] {
                let written = format!("{before}{dash}{after}");
                assert!(!text.contains(&written), "templates/{name}: {written}");
            }
        }
    }
    for (name, text) in below("src/web", "rs") {
        let written = ["\"–\".to_owned()", "\"—\".to_owned()"];
        assert!(!written.iter().any(|mark| text.contains(*mark)), "{name}");
    }
}
