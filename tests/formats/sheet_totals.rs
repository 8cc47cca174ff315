//! Lines of totals and averages in old sheets: nobody's rows, compared with the rows they add up.

use peglore::{
    domain::dates::Day,
    formats::old_sheets::{Mapping, OldSheet, SheetOf, guess, read},
};

use super::sheet;

const HEADING: &str = "Date,Match,Venue,Peg,Angler,Weight\n";
const FIRST: &str = "2019-01-05,Cup,Quillet Water,1,Jem Coppleway,12-8\n\
                     2019-01-05,Cup,Quillet Water,2,Dot Hazelpatch,4-2\n";
const SECOND: &str = "2019-01-12,Cup,Quillet Water,1,Jem Coppleway,3-0\n";

fn old(rows: &str) -> OldSheet {
    let sheet = sheet(&format!("{HEADING}{rows}"));
    let latest = Day::parse("2026-06-01").expect("a real day");
    read(&sheet, &guess(&sheet, SheetOf::Matches), latest).expect("a good mapping")
}

fn told(rows: &str) -> Vec<String> {
    let told = old(rows).totals_told().into_iter();
    told.map(|told| told.sentence).collect()
}

const PLAIN: &str = "This line is a total, and is not taken.";

#[test]
fn a_total_is_nobodys_row_however_it_is_written() {
    for line in [
        ",,TOTAL,,,16-10",
        ",,,,Total,16-10",
        "TOTAL:,,,,,16-10",
        "2019-01-05,Cup,Quillet Water,,Grand total,16-10",
        ",,,,Sub-total (2 fished),16-10",
        ",,,,Section A total,16-10",
        ",,,,,16-10",
    ] {
        let read = old(&format!("{FIRST}{line}\n"));
        assert_eq!(read.problems, [], "{line}");
        assert_eq!((read.entries.len(), read.totals.len()), (2, 1), "{line}");
        assert_eq!(told(&format!("{FIRST}{line}\n")), [PLAIN], "{line}");
    }
    let average = told(&format!("{FIRST},,,,Average,8-5\n"));
    assert_eq!(average, ["This line is an average, and is not taken."]);
}

#[test]
fn a_row_whose_name_was_lost_or_only_sounds_so_is_no_total() {
    for line in [
        "2019-01-05,Cup,Quillet Water,3,,7-0",
        "2019-01-05,Cup,Quillet Water,,,7-0",
        "2019-01-05,Total Cup,Quillet Water,,,7-0",
    ] {
        let read = old(&format!("{FIRST}{line}\n"));
        assert_eq!((read.problems.len(), read.totals.len()), (1, 0), "{line}");
    }
    let named = old("2019-01-05,Cup,Quillet Water,3,Mean Sallowfield,7-0\n");
    assert_eq!((named.entries.len(), named.totals.len()), (1, 0));
}

/// With no column but names and weights, a weight without a name may be an angler’s as well.
#[test]
fn a_weight_alone_in_a_sheet_of_names_and_weights_is_asked_about() {
    let sheet = sheet("Angler,Weight\nJem Coppleway,12-8\n,7-0\nTotal,19-8\n");
    let mapping = Mapping {
        date: Day::parse("2019-01-05"),
        venue: Some("Quillet Water".to_owned()),
        match_name: Some("Cup".to_owned()),
        ..guess(&sheet, SheetOf::Matches)
    };
    let latest = Day::parse("2026-06-01").expect("a real day");
    let read = read(&sheet, &mapping, latest).expect("a good mapping");
    let lines: Vec<u64> = read.problems.iter().map(|bad| bad.line).collect();
    assert_eq!(lines, [3]);
    assert_eq!((read.entries.len(), read.totals.len()), (1, 1));
}

#[test]
fn a_total_that_differs_from_its_rows_says_so() {
    assert_eq!(
        told(&format!("{FIRST},,TOTAL,,,16-12\n")),
        [format!(
            "{PLAIN} It says 16 lb 12 oz, and the rows it adds up come to 16 lb 10 oz."
        )]
    );
    // Each match has its own, and the last line adds up the file.
    let each = format!("{FIRST},,,,Total,16-10\n{SECOND},,,,Total,3-1\n,,,,Grand total,19-10\n");
    assert_eq!(
        told(&each),
        [
            PLAIN.to_owned(),
            format!("{PLAIN} It says 3 lb 1 oz, and the rows it adds up come to 3 lb."),
            PLAIN.to_owned()
        ]
    );
    // A total of the day it names, wherever it stands.
    let named = format!("{FIRST}{SECOND}2019-01-05,,,,Total,16-9\n");
    assert_eq!(
        told(&named),
        [format!(
            "{PLAIN} It says 16 lb 9 oz, and the rows it adds up come to 16 lb 10 oz."
        )]
    );
    let lost =
        format!("{FIRST}2019-01-05,Cup,Quillet Water,3,Ivy Sallowfield,4-x\n,,,,Total,20-0\n");
    assert_eq!(
        told(&lost),
        [format!(
            "{PLAIN} It says 20 lb, and the rows it adds up come to 16 lb 10 oz, without those that cannot be taken."
        )]
    );
}

#[test]
fn a_rounded_total_is_the_same_and_one_of_several_matches_is_not_guessed_at() {
    // 266 oz are 7.541 kg (an ounce is 28.349523125 g: the international pound of 1959).
    assert_eq!(told(&format!("{FIRST},,,,Total,7.55 kg\n")), [PLAIN]);
    // Amid the file, after two matches: of which it is, nothing says.
    let amid = format!(
        "{FIRST}{SECOND},,,,Total,3-1\n2019-01-19,Cup,Quillet Water,1,Jem Coppleway,2-0\n,,,,Total,2-0\n"
    );
    assert_eq!(told(&amid), [PLAIN, PLAIN]);
}
