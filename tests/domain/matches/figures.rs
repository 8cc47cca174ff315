//! What a posting freezes, and what a correction says of it.

use peglore::domain::dates::Day;
use peglore::domain::groups::GroupSet;
use peglore::domain::ids::{EntryId, LabelId};
use peglore::domain::matches::figures::{FIGURES_VERSION, name_hash};
use peglore::domain::matches::{
    Change, Figures, Line, NetFigure, Outcome, PegsAllotted, Place, changes,
};
use peglore::domain::units::{Ranking, Weight};

fn line(entry: i64, peg: &str, nets: &[Weight], place: u32) -> Line {
    let total = nets
        .iter()
        .copied()
        .reduce(|a, b| a.plus(b).expect("one scale"))
        .expect("a net");
    Line {
        entry: EntryId(entry),
        label: Some(LabelId(100 + entry)),
        name_sha256: Some(name_hash(&[7; 16], "Hob", Some("Cressingale"))),
        was_junior: false,
        peg: Some(peg.to_owned()),
        section: Some("B".to_owned()),
        team: None,
        outcome: Outcome::Fished,
        nets: nets
            .iter()
            .zip(1..)
            .map(|(weight, number)| NetFigure {
                number,
                groups: GroupSet::ALL,
                weight: *weight,
            })
            .collect(),
        raw: total,
        counted: total,
        place: Some(Place {
            number: place,
            shared: false,
        }),
        section_place: Some(Place {
            number: place,
            shared: false,
        }),
    }
}

fn figures(lines: Vec<Line>) -> Figures {
    Figures {
        version: FIGURES_VERSION,
        title: "Frost Cup, round 3".to_owned(),
        venue: "Quillet Water".to_owned(),
        on: Day::new(2025, 11, 15).expect("a real day"),
        start: None,
        finish: None,
        pegs_allotted: PegsAllotted::Bag,
        ranking: Ranking::OUNCE,
        lines,
    }
}

#[test]
fn the_frozen_text_holds_no_name_and_reads_back_the_same() {
    let posted = figures(vec![line(
        1,
        "15",
        &[Weight::lb_oz(4, 2), Weight::lb_oz(3, 2)],
        1,
    )]);
    let (json, hash) = posted.freeze().expect("plain data");

    assert!(
        !json.contains("Hob") && !json.contains("Cressingale"),
        "{json}"
    );
    assert_eq!(Figures::thaw(&json).expect("ours"), posted);
    assert_eq!(posted.freeze().expect("plain data"), (json, hash));
}

/// SHA-256 of nothing but the salt, the name and a nought; checked with another program (`sha256sum`).
#[test]
fn the_hash_of_a_name_hangs_on_its_salt() {
    let one = name_hash(b"0123456789abcdef", "Hob", Some("Cressingale"));
    assert_eq!(one.len(), 64);
    assert_eq!(
        one,
        "ff0e5949808944de271d19934c74f458da1f93ed59c93dd216b8b3b56f752e79"
    );
    assert_ne!(
        one,
        name_hash(b"0123456789abcdeg", "Hob", Some("Cressingale"))
    );
    assert_ne!(
        name_hash(&[0; 16], "ab", Some("c")),
        name_hash(&[0; 16], "a", Some("bc"))
    );
}

#[test]
fn a_correction_names_each_figure_that_changed_and_what_it_was() {
    let ripple = |net, first, second| {
        vec![
            line(1, "15", &[Weight::lb_oz(4, 2), net], first),
            line(2, "13", &[Weight::lb_oz(7, 5)], second),
        ]
    };
    let old = figures(ripple(Weight::lb_oz(3, 2), 2, 1));
    let new = figures(ripple(Weight::lb_oz(4, 2), 1, 2));

    let found = changes(&old, &new);

    let change = |entry, field: &str, old: &str, new: &str| Change {
        entry: Some(EntryId(entry)),
        field: field.to_owned(),
        old: old.to_owned(),
        new: new.to_owned(),
    };
    assert_eq!(
        found,
        [
            change(1, "net 2", "3 lb 2 oz, All fish", "4 lb 2 oz, All fish"),
            change(1, "weight", "7 lb 4 oz", "8 lb 4 oz"),
            change(1, "place", "2", "1"),
            change(1, "place in section", "2", "1"),
            change(2, "place", "1", "2"),
            change(2, "place in section", "1", "2"),
        ]
    );
}

#[test]
fn entries_that_came_or_went_and_the_match_itself_are_named() {
    let old = figures(vec![line(1, "15", &[Weight::lb_oz(4, 2)], 1)]);
    let mut new = figures(vec![line(2, "16", &[Weight::lb_oz(1, 0)], 1)]);
    new.pegs_allotted = PegsAllotted::OfChoice;

    let found: Vec<_> = changes(&old, &new)
        .into_iter()
        .map(|c| (c.entry.map(|e| e.0), c.field, c.old, c.new))
        .collect();

    let text = |s: &str| s.to_owned();
    assert_eq!(
        found,
        [
            (
                None,
                text("how pegs were allotted"),
                text("drawn from a bag"),
                text("pegs of choice")
            ),
            (Some(1), text("entry"), text("4 lb 2 oz"), text("–")),
            (Some(2), text("entry"), text("–"), text("1 lb")),
        ]
    );
}

#[test]
fn the_same_figures_in_another_order_are_no_change() {
    let lines = vec![
        line(1, "15", &[Weight::lb_oz(4, 2)], 1),
        line(2, "16", &[Weight::lb_oz(4, 2)], 1),
    ];
    let turned = lines.iter().rev().cloned().collect();
    assert_eq!(changes(&figures(lines), &figures(turned)), []);
}

#[test]
fn an_angler_joined_to_another_record_of_the_same_person_is_no_change_and_an_erased_one_is() {
    let old = figures(vec![line(1, "15", &[Weight::lb_oz(4, 2)], 1)]);
    let mut joined = old.clone();
    joined.lines[0].label = Some(LabelId(7));
    assert_eq!(changes(&old, &joined), []);
    joined.lines[0].label = None;
    assert_eq!(changes(&old, &joined).len(), 1);
}
