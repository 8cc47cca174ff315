//! Weights of old sheets in two or three columns: pounds, ounces and drams.

use peglore::{
    domain::{dates::Day, matches::Outcome, units::Weight},
    formats::old_sheets::{
        Ask, BareWeights, Column, Entry, Field, Mapping, OldSheet, SheetOf, guess, read,
    },
};

use super::sheet;

const BEFORE: &str = "2019-01-05,Cup,Quillet Water";

/// A sheet of one match with these columns of weights; a row is a name and its cells.
fn written(columns: &str, rows: &[&str]) -> String {
    let rows: String = rows.iter().map(|row| format!("{BEFORE},{row}\n")).collect();
    format!("Date,Match,Venue,Name,{columns}\n{rows}")
}

fn try_read(text: &str, answer: impl FnOnce(&mut Mapping)) -> Result<OldSheet, Vec<String>> {
    let sheet = sheet(text);
    let mut mapping = guess(&sheet, SheetOf::Matches);
    answer(&mut mapping);
    read(
        &sheet,
        &mapping,
        Day::parse("2026-06-01").expect("a real day"),
    )
}

fn old(columns: &str, rows: &[&str]) -> OldSheet {
    try_read(&written(columns, rows), |_| {}).expect("a good mapping")
}

fn nets(entry: &Entry) -> Vec<Weight> {
    entry.nets.iter().map(|net| net.weight).collect()
}

/// What is guessed of the columns of weights.
fn guessed(columns: &str) -> Vec<Option<Field>> {
    let sheet = sheet(&written(columns, &[]));
    let mapping = guess(&sheet, SheetOf::Matches);
    let held = mapping.columns.iter().skip(4);
    held.map(|column| column.map(|column| column.field))
        .collect()
}

#[test]
fn ounces_drams_and_grams_are_guessed_by_the_weight_to_their_left() {
    use Field::{Drams, Grams, Ounces, Weight};
    let pair = [Some(Weight), Some(Ounces)];
    for headings in [
        "lb,oz",
        "lbs,ozs",
        "lb(s),oz(s)",
        "Pounds,Ounces",
        "Weight lb,Weight oz",
        "Weight,oz",
        "Total lb,Total oz",
    ] {
        assert_eq!(guessed(headings), pair, "{headings}");
    }
    assert_eq!(
        guessed("lb,oz,dr"),
        [Some(Weight), Some(Ounces), Some(Drams)]
    );
    assert_eq!(guessed("lb,oz,lb,oz"), [pair, pair].concat());
    assert_eq!(guessed("kg,g"), [Some(Weight), Some(Grams)]);
    // A total beside its nets is not taken, nor are its ounces.
    assert_eq!(
        guessed("Net lb,Net oz,Total lb,Total oz"),
        [pair, [None, None]].concat()
    );
    assert_eq!(
        guessed("Net 1,Net 2,Total oz"),
        [Some(Weight), Some(Weight), None]
    );
    // By itself it is the weight, in ounces.
    assert_eq!(guessed("Weight oz"), [Some(Weight)]);
    assert_eq!(guessed("Weight (lb-oz)"), [Some(Weight)]);
}

#[test]
fn ounces_are_of_the_group_of_their_pounds() {
    let sheet = sheet(&written("Carp lb,Carp oz,Silvers lb,Silvers oz", &[]));
    let mapping = guess(&sheet, SheetOf::Matches);
    let held: Vec<String> = mapping.columns[4..]
        .iter()
        .map(|column| column.map_or_else(String::new, Column::slug))
        .collect();
    assert_eq!(held, ["weight.carp", "ounces", "weight.silvers", "ounces"]);
}

#[test]
fn pounds_and_ounces_in_two_columns_are_one_weight_and_need_no_question() {
    let read = old(
        "lb,oz",
        &[
            "Jem,12,8",
            "Dot,0,12",
            "Tam,,12",
            "Ned,3,",
            "Ivy,3,15½",
            "Una,2.0,4.0",
            "Ada,0,0",
            "Bo,DNW,",
            "Cy,DNW,0",
            "Di,12-8,",
            "Ed,1 lb,2 oz",
        ],
    );
    assert_eq!(read.problems, []);
    let bare = |ask: &Ask| matches!(ask, Ask::Bare { .. });
    assert!(!read.asks.iter().any(bare), "{:?}", read.asks);
    let caught: Vec<_> = read.entries.iter().map(|e| (e.outcome, nets(e))).collect();
    let fished = |weight| (Outcome::Fished, vec![weight]);
    assert_eq!(
        caught,
        [
            fished(Weight::lb_oz(12, 8)),
            fished(Weight::lb_oz(0, 12)),
            fished(Weight::lb_oz(0, 12)),
            fished(Weight::lb_oz(3, 0)),
            fished(Weight::drams(3 * 256 + 15 * 16 + 8)),
            fished(Weight::lb_oz(2, 4)),
            (Outcome::Blank, vec![]),
            (Outcome::DidNotWeigh, vec![]),
            (Outcome::DidNotWeigh, vec![]),
            fished(Weight::lb_oz(12, 8)),
            fished(Weight::lb_oz(1, 2)),
        ]
    );
}

#[test]
fn drams_two_nets_and_grams_are_read_the_same_way() {
    let drams = old("lb,oz,dr", &["Jem,12,8,4", "Dot,,,6"]);
    assert_eq!(
        nets(&drams.entries[0]),
        [Weight::drams(12 * 256 + 8 * 16 + 4)]
    );
    assert_eq!(nets(&drams.entries[1]), [Weight::drams(6)]);
    let two = old("lb,oz,lb,oz", &["Jem,12,8,0,9", "Dot,4,2,,"]);
    assert_eq!(
        nets(&two.entries[0]),
        [Weight::lb_oz(12, 8), Weight::lb_oz(0, 9)]
    );
    assert_eq!(
        nets(&two.entries[1]),
        [Weight::lb_oz(4, 2)],
        "no second net"
    );
    let grams = old("kg,g", &["Jem,5,670", "Dot,0,85"]);
    assert_eq!(nets(&grams.entries[0]), [Weight::grams(5670)]);
    assert_eq!(nets(&grams.entries[1]), [Weight::grams(85)]);
}

#[test]
fn what_cannot_be_pounds_and_ounces_is_a_problem_of_its_row() {
    let read = old(
        "lb,oz",
        &[
            "Jem,12,16",
            "Dot,,20",
            "Tam,12.8,",
            "Ned,12,-8",
            "Ivy,12-8,4",
            "Una,DNW,8",
            "Ada,,",
            "Bo,1,2",
        ],
    );
    let told: Vec<(u64, &str)> = read
        .problems
        .iter()
        .map(|bad| (bad.line, bad.sentences[0].as_str()))
        .collect();
    let lines: Vec<u64> = told.iter().map(|(line, _)| *line).collect();
    assert_eq!(lines, [2, 3, 4, 5, 6, 7, 8], "{told:?}");
    assert_eq!(
        told[0].1,
        "“12 lb 16 oz” has 16 ounces. Ounces run from 0 to 15, since 16 make a pound. 16 oz and 12 lb together are 13 lb."
    );
    assert!(told[1].1.contains("has 20 ounces"), "{told:?}");
    assert!(
        told[2].1.ends_with("Write it out in the sheet."),
        "{told:?}"
    );
    assert!(told[3].1.contains("begins with a minus"), "{told:?}");
    assert!(told[6].1.contains("has no weight"), "{told:?}");
    assert_eq!(nets(&read.entries[0]), [Weight::lb_oz(1, 2)]);
}

#[test]
fn ounces_that_would_be_lost_are_never_a_silent_blank() {
    let text = written("lb,oz", &["Jem,12,8", "Dot,0,12"]);
    let not_taken = |text: &str, column: usize| {
        try_read(text, |mapping| {
            mapping.columns[column] = None;
            mapping.bare = Some(BareWeights::PoundsPointOunces);
        })
    };
    let refused = not_taken(&text, 5).expect_err("refused");
    assert_eq!(
        refused,
        [
            "Nothing is taken from the column “oz”, which is headed like the ounces of the weight in “lb”: without it weights would be too small, and some no weight at all. Say that it holds ounces, or take it out of the sheet."
        ]
    );
    let before = written("oz,lb", &["Jem,8,12"]);
    let refused = try_read(&before, |_| {}).expect_err("refused");
    assert!(
        refused[0].contains("Put it to the right of “lb”"),
        "{refused:?}"
    );
    let drams = written("lb,oz,dr", &["Jem,12,8,4"]);
    let refused = not_taken(&drams, 6).expect_err("refused");
    assert!(refused[0].contains("the column “dr”"), "{refused:?}");

    // Weights that are whole without it lose nothing.
    let repeated = written("Weight lb,oz", &["Jem,12-8,200", "Dot,0-12,12"]);
    assert!(not_taken(&repeated, 5).is_ok());
}

#[test]
fn parts_without_their_weight_are_refused() {
    use Field::{Grams, Ounces, Weight};
    let refused = |columns: &str, held: &[Field]| {
        let text = written(columns, &["Jem,1,2,3"]);
        let answer = |mapping: &mut Mapping| {
            let held = held.iter().map(|field| Some(Column::from(*field)));
            mapping.columns.truncate(4);
            mapping.columns.extend(held);
        };
        try_read(&text, answer).expect_err("refused").join(" ")
    };
    let first = refused("a,b,c", &[Ounces, Weight, Ounces]);
    assert!(
        first.contains("no weight of a net stands to its left"),
        "{first}"
    );
    let twice = refused("a,b,c", &[Weight, Ounces, Ounces]);
    assert!(twice.contains("Two columns of ounces"), "{twice}");
    let mixed = refused("a,b,c", &[Weight, Ounces, Grams]);
    assert!(mixed.contains("grams beside ounces"), "{mixed}");
}

#[test]
fn a_line_of_totals_is_compared_with_its_pounds_and_ounces() {
    let told = |total: &str| {
        let read = old("lb,oz", &["Jem,12,8", "Dot,0,12", total]);
        assert_eq!((read.entries.len(), read.totals.len()), (2, 1));
        read.totals_told()[0].sentence.clone()
    };
    assert_eq!(
        told("Total,13,4"),
        "This line is a total, and is not taken."
    );
    assert!(
        told("Total,14,4")
            .contains("It says 14 lb 4 oz, and the rows it adds up come to 13 lb 4 oz")
    );
}
