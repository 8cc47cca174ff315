//! What a page keeps and leaves out when it is pinned to a notice board, as the style sheets say.

use std::{fs, path::Path};

fn sheet(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("static/css")
        .join(name);
    fs::read_to_string(path).expect("a sheet")
}

/// The rules for paper: what `@media print` holds, with single spaces.
fn on_paper(name: &str) -> String {
    let sheet = sheet(name);
    let (_, rest) = sheet
        .split_once("@media print {")
        .expect("has a print form");
    let mut depth = 1;
    let end = rest.find(|c: char| {
        depth += match c {
            '{' => 1,
            '}' => -1,
            _ => 0,
        };
        depth == 0
    });
    let rules = &rest[..end.expect("it closes")];
    rules.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The selectors of a list, whole: a comma inside brackets parts none.
fn selectors(list: &str) -> Vec<&str> {
    let mut depth = 0;
    list.split(|c: char| {
        match c {
            '(' | '[' => depth += 1,
            ')' | ']' => depth -= 1,
            _ => {}
        }
        c == ',' && depth == 0
    })
    .map(str::trim)
    .collect()
}

#[test]
fn a_selector_is_not_met_by_another_that_holds_its_name() {
    assert_eq!(
        selectors(".link-button, form :is(.fields, .settle),a[href*=\",\"] "),
        [
            ".link-button",
            "form :is(.fields, .settle)",
            "a[href*=\",\"]"
        ]
    );
}

#[test]
fn what_only_a_finger_can_use_is_left_out() {
    let rules = on_paper("utilities.css");
    let (before, _) = rules
        .split_once("{ display: none; }")
        .expect("a list of what is left out");
    let list = before.rsplit('}').next().expect("the rest of a split");
    let list = list.rsplit("*/").next().expect("the rest of a split");
    let hidden = selectors(list);
    for part in [
        ".masthead nav",
        ".foot nav",
        "button",
        ".do",
        ".pager ul",
        ".narrow-by",
        "form:not(:has(table))",
        "details:has(form)",
        "thead a > [aria-hidden]",
        "p:has(> a[href*=\".csv\"])",
    ] {
        assert!(hidden.contains(&part), "{part} is printed: {hidden:?}");
    }
    // Among them that a result is provisional, was replaced, or lacks rows of its sheet.
    let caution = hidden.iter().find(|part| part.contains("caution"));
    assert_eq!(caution, None, "cautions are not printed");
}

#[test]
fn tables_are_whole_under_a_heading_that_comes_again_and_rows_do_not_break() {
    let rules = on_paper("utilities.css");
    for rule in [
        "thead { display: table-header-group; }",
        ".scroll { overflow: visible; }",
        "tr, svg, .entries > li, .diary li, .pairs > div { break-inside: avoid; }",
        ".on-paper { display: revert; }",
        "details:not([open])::details-content { content-visibility: visible; block-size: auto; }",
    ] {
        assert!(rules.contains(rule), "no {rule}");
    }
}

#[test]
fn the_crumbs_say_in_plain_words_which_water_it_is() {
    let rules = on_paper("utilities.css");
    let (hidden, _) = rules
        .split_once("{ display: none; }")
        .expect("a list of what is left out");
    assert!(!hidden.contains(".trail"), "the water is not named");
    for rule in [
        "&:not(:has(a + a)), & a:first-child { display: none; }",
        "& a, & a + a { display: inline;",
    ] {
        assert!(rules.contains(rule), "no {rule}");
    }
}

#[test]
fn no_heading_is_left_alone() {
    let rules = on_paper("utilities.css");
    for rule in [
        "h1, h2, h3, caption, thead { break-after: avoid; }",
        ".leaf:has(> div > h2:first-child + form:last-child):not(:has(table)) { display: none; }",
    ] {
        assert!(rules.contains(rule), "no {rule}");
    }
}

#[test]
fn a_result_of_a_full_field_and_ten_matches_take_little_paper() {
    let result = on_paper("pages/result.css");
    for rule in [
        "& tbody th br { display: none; }",
        "& .sections { align-items: start; grid-template-columns: repeat(auto-fit, minmax(57mm, 1fr));",
        "& .peg, & .weight { inline-size: 1%; white-space: nowrap; }",
        "&:first-child { inline-size: 1%; padding-inline-end: 0.7rem; }",
    ] {
        assert!(result.contains(rule), "no {rule}");
    }
    let took = on_paper("pages/what_it_took.css");
    assert!(took.contains("& .pairs { display: grid; grid-template-columns: 1fr 1fr;"));
}

#[test]
fn what_to_expect_with_the_nearest_days_takes_two_sheets_and_loses_no_figure() {
    let like_days = on_paper("pages/like_days.css");
    for rule in [
        "& .pairs { display: grid; grid-template-columns: 1fr 1fr;",
        "& > svg { zoom: 0.7; }",
        "& > details { grid-area: 1 / 2 / 3;",
        "& .small-strip { float: inline-start;",
    ] {
        assert!(like_days.contains(rule), "no {rule}");
    }
    // Only the formula said twice and the long word for pressure go.
    let hidden: Vec<_> = like_days.match_indices("display: none").collect();
    assert_eq!(hidden.len(), 3, "figures are left out: {like_days}");
    assert!(like_days.contains(".told ~ .told .worked-out { display: none; }"));
    assert!(like_days.contains("& .wide { display: none; }"));
    assert!(like_days.contains("& .ran > br:first-of-type { display: none; }"));
}

#[test]
fn words_and_pictures_are_in_ink_on_white() {
    let rules = on_paper("tokens.css");
    for colour in [
        "--sheet: #ffffff;",
        "--pencil: #000000;",
        "--pool: #000000;",
        "--sedge: #000000;",
        "--straw: #ffffff;",
    ] {
        assert!(rules.contains(colour), "no {colour}");
    }
    // Every other ink is a grey, so that nothing is lost on a printer of one colour.
    for ink in rules.split('#').skip(1).map(|rest| &rest[..6]) {
        assert!(ink[..2] == ink[2..4] && ink[..2] == ink[4..6], "#{ink}");
    }
}
