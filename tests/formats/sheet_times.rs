//! From when to when a row of a sheet of sessions was fished, and headings that clubs use for it.

use jiff::civil::{Time, time};
use peglore::domain::dates::Day;
use peglore::domain::units::Minutes;
use peglore::formats::csv::{Heading, Sheet, read as read_csv};
use peglore::formats::old_sheets::{
    Ask, Column, Entry, Field, Mapping, OldSheet, SheetOf, guess, headings_not_taken, read,
};

fn sheet(text: &str) -> Sheet {
    read_csv(text.as_bytes(), Heading::Present).expect("a sheet")
}

fn old(text: &str, of: SheetOf) -> OldSheet {
    let sheet = sheet(text);
    let latest = Day::parse("2026-06-01").expect("a real day");
    read(&sheet, &guess(&sheet, of), latest).expect("a good mapping")
}

fn at(hour: i8, minute: i8) -> Time {
    time(hour, minute, 0, 0)
}

/// What is understood of one row’s hours, start and end.
fn told(hours: &str, from: &str, to: &str) -> Result<Entry, String> {
    let text = format!(
        "When,Water,Name,Fish,Hours,Start,Finish\n2019-01-05,Quillet Water,Jem Coppleway,3,{hours},{from},{to}\n"
    );
    let mut read = old(&text, SheetOf::Sessions);
    match read.problems.pop() {
        Some(bad) => Err(bad.sentences.join(" ")),
        None => Ok(read.entries.remove(0)),
    }
}

#[test]
fn headings_that_clubs_use_are_recognised() {
    let fields = |text: &str, of| -> Vec<Option<Field>> {
        let columns = guess(&sheet(text), of).columns;
        columns
            .into_iter()
            .map(|c| c.map(|c: Column| c.field))
            .collect()
    };
    let (started, packed_up) = (Some(Field::Started), Some(Field::PackedUp));
    for (heading, field) in [
        ("Start", started),
        ("From", started),
        ("Began", started),
        ("Start time", started),
        ("End", packed_up),
        ("Till", packed_up),
        ("To", packed_up),
        ("Until", packed_up),
        ("Finish", packed_up),
        ("From-to", Some(Field::Hours)),
        ("When", Some(Field::Date)),
        ("Bait", Some(Field::Bait)),
    ] {
        let text = format!("{heading},Name\nx,Jem\n");
        assert_eq!(fields(&text, SheetOf::Sessions)[0], field, "{heading}");
    }
    for heading in ["Pos", "Posn", "Pos."] {
        let text = format!("{heading},Name\nx,Jem\n");
        assert_eq!(
            fields(&text, SheetOf::Matches)[0],
            Some(Field::Place),
            "{heading}"
        );
    }
    assert_eq!(fields("From,Name\nx,Jem\n", SheetOf::Matches)[0], None);
}

#[test]
fn times_are_read_from_their_columns_and_from_the_hours() {
    for (hours, from, to) in [
        ("", "07:00", "12:30"),
        ("", "7", "12.30"),
        ("", "0700", "1230"),
        ("07:00-12:30", "", ""),
        ("7-12.30", "", ""),
        ("7.00 – 12.30", "", ""),
        ("7:00 to 12:30", "", ""),
        ("7am to 12.30pm", "", ""),
        ("", "7.00am", "12:30 pm"),
        ("5½", "7am", ""),
        ("5.5", "7:00", ""),
        ("5:30", "", "12:30"),
    ] {
        let entry = told(hours, from, to).expect("readable");
        let what = (entry.times, entry.minutes, entry.own_hours);
        let want = (Some((at(7, 0), at(12, 30))), Some(Minutes(330)), true);
        assert_eq!(what, want, "{hours} {from} {to}");
    }
    let by_both_clocks = told("7am to 13:00", "", "").expect("readable");
    assert_eq!(by_both_clocks.minutes, Some(Minutes(360)));
    let night = told("", "20:00", "2:30").expect("readable");
    assert_eq!(night.minutes, Some(Minutes(390)));
    let length = told("5", "", "").expect("readable");
    assert_eq!((length.times, length.minutes), (None, Some(Minutes(300))));
}

#[test]
fn times_that_cannot_be_read_or_disagree_say_what_to_mend() {
    for (hours, from, to, says) in [
        ("", "dawn", "12:30", "Started: “dawn” is not a time of day"),
        ("", "7:00", "late", "Packed up: “late” is not a time of day"),
        ("", "7:00", "", "neither when it ended nor how long"),
        ("", "", "12:30", "neither when it began nor how long"),
        ("2-6pm", "", "", "Say it of both times"),
        ("10am-3", "", "", "Say it of both times"),
        ("7am to 1.30", "", "", "Say it of both times"),
        (
            "",
            "2",
            "6 p.m.",
            "Of “2” and “6 p.m.” only one says am or pm",
        ),
        ("", "10AM", "3", "Say it of both times"),
        ("4-5", "", "", "Write 04:00-05:00 or one number of hours"),
        (
            "5",
            "7:00",
            "12:30",
            "The row says 5 hours, and its times make 5 hours 30 minutes",
        ),
        ("7:00-9:00", "7:00", "", "Leave one of the two empty"),
    ] {
        let why = told(hours, from, to).expect_err("refused");
        assert!(why.contains(says), "{why}");
    }
}

#[test]
fn no_time_is_made_up_from_the_length_given_for_the_whole_file() {
    let text = "When,Water,Name,Fish,Hours,Start,Finish,Remarks\n\
                2019-01-05,Quillet Water,Jem Coppleway,3,,7:00,,cold\n\
                2019-01-06,Quillet Water,Jem Coppleway,3,,,12.30,\n\
                2019-01-07,Quillet Water,Jem Coppleway,3,5.5,7:00,,\n";
    let sheet = sheet(text);
    let mapping = Mapping {
        minutes: Some(Minutes(300)),
        ..guess(&sheet, SheetOf::Sessions)
    };
    let latest = Day::parse("2026-06-01").expect("a real day");
    let read = read(&sheet, &mapping, latest).expect("a good mapping");
    let told: Vec<_> = read
        .entries
        .iter()
        .map(|e| (e.times, e.minutes, e.own_hours, e.remarks.as_deref()))
        .collect();
    let file = Some(Minutes(300));
    let (began, ended) = (
        "cold\nstarted on the sheet: 07:00",
        "packed up on the sheet: 12:30",
    );
    let own = Some((at(7, 0), at(12, 30)));
    assert_eq!(
        told,
        [
            (None, file, false, Some(began)),
            (None, file, false, Some(ended)),
            (own, Some(Minutes(330)), true, None),
        ]
    );
}

#[test]
fn a_match_takes_the_length_of_its_rows_hours_and_no_times() {
    let text =
        "Date,Match,Venue,Name,Weight,Hours\n2019-01-05,Cup,Quillet Water,Jem,1-0,10:00-15:00\n";
    let read = old(text, SheetOf::Matches);
    let entry = &read.entries[0];
    assert_eq!((entry.times, entry.minutes), (None, Some(Minutes(300))));
}

#[test]
fn a_row_that_says_the_same_outing_otherwise_is_said_twice() {
    let rows = |second: &str| {
        let text = format!(
            "Date,Water,Peg,Name,Weight,Hours\n2019-01-05,Quillet Water,7,Jem,blank,4\n{second}\n"
        );
        let read = old(&text, SheetOf::Sessions);
        (read.entries.len(), read.problems)
    };
    let (taken, twice) = rows("2019-01-05,Quillet Water,7,Jem,0,4");
    assert_eq!((taken, twice[0].line), (1, 3));
    assert!(
        twice[0].sentences[0].contains("The same outing stands on line 2"),
        "{twice:?}"
    );
    for other in [
        "2019-01-05,Quillet Water,8,Jem,0,4",
        "2019-01-05,Quillet Water,7,Jem,0,5",
        "2019-01-05,Quillet Water,7,Jem,1-0,4",
        "2019-01-06,Quillet Water,7,Jem,0,4",
    ] {
        let (taken, twice) = rows(other);
        assert_eq!((taken, twice), (2, Vec::new()), "{other}");
    }
}

#[test]
fn a_sheet_whose_heading_was_not_recognised_says_which() {
    let text = "Heron,Water,Name,Fish\n2019-01-05,Quillet Water,Jem,3\n";
    let read = old(text, SheetOf::Sessions);
    let sheet = sheet(text);
    let left = headings_not_taken(&sheet, &guess(&sheet, SheetOf::Sessions));
    assert_eq!(left, ["Heron"]);
    assert!(
        read.asks.contains(&Ask::Date(left.clone())),
        "{:?}",
        read.asks
    );
    let sentence = Ask::Date(left).sentence();
    assert!(
        sentence.contains("Nothing is taken from the column “Heron”. Choose the one"),
        "{sentence}"
    );
    assert!(Ask::Date(Vec::new()).sentence().contains("has no dates"));
}
