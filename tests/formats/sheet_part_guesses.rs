//! Weights of old sheets whose columns do not say by their headings alone what belongs together: a
//! nameless column beside a weight, grams or ounces beside a weight without a unit, and nets whose
//! pounds stand before all ounces.

use peglore::{
    domain::{dates::Day, matches::Outcome, units::Weight},
    formats::old_sheets::{
        BareWeights, Column, Entry, Field, Mapping, OldSheet, SheetOf, guess, read,
    },
};

use super::sheet;

/// A sheet of one match with these columns of weights; a row is a name and its cells.
fn written(columns: &str, rows: &[&str]) -> String {
    let row = |row: &&str| format!("2019-01-05,Cup,Quillet Water,{row}\n");
    let rows: String = rows.iter().map(row).collect();
    format!("Date,Match,Venue,Name,{columns}\n{rows}")
}

/// As read where weights without a unit are these.
fn read_as(
    columns: &str,
    rows: &[&str],
    bare: Option<BareWeights>,
) -> Result<OldSheet, Vec<String>> {
    let sheet = sheet(&written(columns, rows));
    let mapping = Mapping {
        bare,
        ..guess(&sheet, SheetOf::Matches)
    };
    let latest = Day::parse("2026-06-01").expect("a real day");
    read(&sheet, &mapping, latest)
}

/// What is guessed of the columns of weights.
fn guessed(columns: &str, rows: &[&str]) -> Vec<Option<Field>> {
    let sheet = sheet(&written(columns, rows));
    let mapping = guess(&sheet, SheetOf::Matches);
    let held = mapping.columns.iter().skip(4);
    held.map(|column| column.map(|column| column.field))
        .collect()
}

fn nets(entry: &Entry) -> Vec<Weight> {
    entry.nets.iter().map(|net| net.weight).collect()
}

const POUNDS: Option<BareWeights> = Some(BareWeights::PoundsPointOunces);
const KILOGRAMS: Option<BareWeights> = Some(BareWeights::Kilograms);

#[test]
fn a_heading_over_two_columns_holds_pounds_and_ounces_where_the_second_is_all_ounces() {
    let second = |rows: &[&str]| {
        let sheet = sheet(&written("Weight,", rows));
        let mapping = guess(&sheet, SheetOf::Matches);
        mapping.columns.get(5).copied().flatten()
    };
    let ounces = Some(Column::from(Field::Ounces));
    assert_eq!(second(&["Jem,12,8", "Dot,0,12", "Tam,3,0"]), ounces);
    // A weight that is whole already, figures that are no ounces, none at all.
    assert_eq!(second(&["Jem,12-8,8", "Dot,3-0,12"]), None);
    assert_eq!(second(&["Jem,12,8", "Dot,0,16"]), None);
    assert_eq!(second(&["Jem,12,first", "Dot,0,second"]), None);
    assert_eq!(second(&["Jem,12,0", "Dot,3,0"]), None);

    let read = read_as("Weight,", &["Jem,12,8", "Dot,0,12"], None).expect("a good mapping");
    let caught: Vec<_> = read.entries.iter().map(nets).collect();
    assert_eq!(caught, [[Weight::lb_oz(12, 8)], [Weight::lb_oz(0, 12)]]);
}

#[test]
fn totals_and_outcomes_do_not_hide_ounces_without_a_heading() {
    for odd in ["Total,12,20", "Tam,DNW,", "Tam,,DNW", "Tam,3,absent"] {
        let rows = ["Jem,12,8", "Dot,0,12", odd];
        let pair = [Some(Field::Weight), Some(Field::Ounces)];
        assert_eq!(guessed("Weight,", &rows), pair, "{odd}");
    }
    let rows = ["Jem,12,8", "Dot,0,12", "Tam,,DNW", "Total,12,20"];
    let read = read_as("Weight,", &rows, None).expect("a good mapping");
    let caught: Vec<_> = read.entries.iter().map(|e| (e.outcome, nets(e))).collect();
    assert_eq!(
        caught,
        [
            (Outcome::Fished, vec![Weight::lb_oz(12, 8)]),
            (Outcome::Fished, vec![Weight::lb_oz(0, 12)]),
            (Outcome::DidNotWeigh, vec![]),
        ]
    );
}

#[test]
fn ounces_without_a_heading_are_not_lost_by_one_odd_cell() {
    let rows = ["Jem,12,8", "Dot,0,12", "Tam,3,4", "Ned,2,shared"];
    assert_eq!(guessed("Weight,", &rows), [Some(Field::Weight), None]);
    let refused = read_as("Weight,", &rows, POUNDS).expect_err("refused");
    assert_eq!(
        refused,
        [
            "Nothing is taken from the column “Column 6”, which has no heading and holds figures like the ounces of the weight in “Weight”: without it weights would be too small, and some no weight at all. Say that it holds ounces, or take it out of the sheet."
        ]
    );
    // Whole by themselves, of another unit, or beside figures that are mostly no ounces.
    assert!(read_as("Weight,", &["Jem,12-8,8", "Dot,0-12,12"], POUNDS).is_ok());
    assert!(read_as("Weight,", &rows, KILOGRAMS).is_ok());
    assert!(read_as("Weight,", &["Jem,12,31", "Dot,9,28", "Tam,3,4"], POUNDS).is_ok());
}

#[test]
fn places_and_points_without_a_heading_are_no_ounces() {
    for cells in [["1", "2", "3"], ["10", "9", "8"], ["17", "16", "15"]] {
        let rows = ["Jem,12", "Dot,9", "Tam,7"];
        let rows: Vec<String> = rows
            .iter()
            .zip(cells)
            .map(|(row, cell)| format!("{row},{cell}"))
            .collect();
        let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
        assert_eq!(guessed("Weight,", &rows), [Some(Field::Weight), None]);
        let read = read_as("Weight,", &rows, POUNDS).expect("a good mapping");
        assert_eq!(nets(&read.entries[0]), [Weight::lb_oz(12, 0)], "{cells:?}");
    }
    // Of two matches, an angler without a weight, and no run at all.
    let rows = [
        "Jem,12,1", "Dot,9,2", "Tam,7,3", "Ned,0,0", "Ivy,8,1", "Una,4,2",
    ];
    assert_eq!(guessed("Weight,", &rows), [Some(Field::Weight), None]);
    let rows = ["Jem,12,1", "Dot,9,2", "Tam,7,4"];
    assert_eq!(
        guessed("Weight,", &rows),
        [Some(Field::Weight), Some(Field::Ounces)]
    );
}

#[test]
fn guessed_ounces_are_not_joined_to_kilograms() {
    for columns in ["Weight,", "Weight,oz"] {
        let rows = ["Jem,12,8", "Dot,0,12"];
        let refused = read_as(columns, &rows, KILOGRAMS).expect_err("refused");
        assert!(
            refused[0]
                .starts_with("Weights without a unit are said to be kilograms, and the column"),
            "{refused:?}"
        );
        assert!(read_as(columns, &rows, POUNDS).is_ok());
    }
    assert!(read_as("lb,oz", &["Jem,12,8"], KILOGRAMS).is_ok());
}

#[test]
fn grams_beside_a_weight_without_a_unit_are_not_lost() {
    for columns in ["Weight,g", "Weight,Grams"] {
        let rows = ["Jem,5,670", "Dot,0,850"];
        let refused = read_as(columns, &rows, KILOGRAMS).expect_err("refused");
        assert!(
            refused[0].contains("headed like the grams of the weight in “Weight”"),
            "{refused:?}"
        );
    }
    assert!(read_as("Weight,g", &["Jem,5.670,5670"], KILOGRAMS).is_ok());
}

#[test]
fn ounces_after_the_pounds_of_several_nets_are_nobodys_guess() {
    let columns = "Net 1 lb,Net 2 lb,Net 1 oz,Net 2 oz";
    let weight = Some(Field::Weight);
    assert_eq!(guessed(columns, &[]), [weight, weight, None, None]);
    let refused = read_as(columns, &["Jem,12,4,8,2"], None).expect_err("refused");
    assert_eq!(refused.len(), 2, "{refused:?}");
    assert_eq!(
        refused[0],
        "Nothing is taken from the column “Net 1 oz”, which is headed like the ounces of a weight: several weights stand before it, and their order does not say of which it is. Put the ounces of each weight in the column to its right in the sheet."
    );
    // The total is not taken, and the ounces of the net are not lost with it.
    assert!(read_as("Net lb,Total lb,Net oz,Total oz", &["Jem,12,12,8,8"], None).is_err());
    // Silvers that were weighed in ounces alone.
    let held = guessed("Carp lb,Carp oz,Silvers oz", &[]);
    assert_eq!(held, [weight, Some(Field::Ounces), weight]);
}
