//! Slips in old sheets: words that mean two things, and weights that are hardly true.

use peglore::{
    domain::{dates::Day, matches::Outcome},
    formats::{
        csv::{Heading, read as read_csv},
        days::DayOrder,
        old_sheets::{Field, Mapping, OldSheet, SheetOf, guess, read, unlikely},
    },
};

fn old(text: &str, of: SheetOf, day_order: Option<DayOrder>) -> OldSheet {
    let sheet = read_csv(text.as_bytes(), Heading::Guess).expect("a sheet");
    let mapping = Mapping {
        day_order,
        ..guess(&sheet, of)
    };
    let latest = Day::parse("2026-06-01").expect("a real day");
    read(&sheet, &mapping, latest).expect("a good mapping")
}

#[test]
fn dnf_is_neither_an_absence_nor_an_unknown_catch_until_somebody_says() {
    let text = "Date,Match,Venue,Name,Weight,Outcome\n\
        2019-01-05,Cup,Quillet Water,Jem,DNF,\n2019-01-05,Cup,Quillet Water,Dot,,d.n.f.\n2019-01-05,Cup,Quillet Water,Tam,DNW,\n";
    let read = old(text, SheetOf::Matches, None);
    let lines: Vec<u64> = read.problems.iter().map(|bad| bad.line).collect();
    assert_eq!(lines, [2, 3]);
    assert_eq!(
        read.problems[0].sentences,
        [
            "“DNF” is not understood: it may mean did not fish, or did not finish. Write absent for the one, DNW for the other."
        ]
    );
    assert_eq!(read.entries[0].outcome, Outcome::DidNotWeigh);
}

#[test]
fn a_net_hardly_to_be_believed_is_read_and_asked_about() {
    let text = "Date,Match,Venue,Name,Net 1,Net 2\n\
        2019-01-05,Cup,Quillet Water,Jem,300 lb,12-8\n2019-01-05,Cup,Quillet Water,Dot,99 lb,80 lb\n";
    let read = old(text, SheetOf::Matches, None);
    assert_eq!((read.entries.len(), read.problems.len()), (2, 0));
    let asked = unlikely(&read.entries[0]);
    assert_eq!((asked.len(), asked[0].line), (1, 2));
    assert_eq!(asked[0].sentence(), "300 lb in one net is unlikely.");
    assert_eq!(unlikely(&read.entries[1]), []);
}

#[test]
fn an_answer_stands_before_what_one_cell_shows() {
    let text = "Date,Match,Venue,Name,Weight\n\
        06/03/2021,Cup,Quillet Water,Jem,1-0\n04/13/21,Cup,Quillet Water,Dot,1-0\n";
    let read = old(text, SheetOf::Matches, Some(DayOrder::DayFirst));
    assert_eq!(
        read.asks
            .iter()
            .filter(|ask| ask.field() == "day_order")
            .count(),
        0
    );
    assert_eq!(read.entries[0].day.to_string(), "2021-03-06");
    assert_eq!(read.problems[0].line, 3);
}

#[test]
fn a_dash_of_any_length_in_a_cell_is_a_gap_and_never_a_name() {
    for dash in ["-", "–", "—"] {
        let text = format!(
            "Date,Match,Venue,Peg,Name,Team,Section,Method,Net 1,Net 2,Notes\n\
             2019-01-05,Cup,Quillet Water,{dash},Jem,{dash},{dash},{dash},12-8,{dash},{dash}\n"
        );
        let read = old(&text, SheetOf::Matches, None);
        assert_eq!(read.problems, [], "{dash}");
        let entry = &read.entries[0];
        assert_eq!(entry.nets.len(), 1, "{dash}");
        let told = [
            &entry.peg,
            &entry.team,
            &entry.section,
            &entry.method,
            &entry.remarks,
        ];
        assert!(told.iter().all(|cell| cell.is_none()), "{dash}: {told:?}");
    }
}

#[test]
fn headings_that_ask_where_are_taken_for_the_water() {
    let text = "Date,Where fished,Name,Hours fished,Kgs\n2019-01-05,Quillet Water,Jem,5,2.3 kg\n";
    let sheet = read_csv(text.as_bytes(), Heading::Guess).expect("a sheet");
    let columns = guess(&sheet, SheetOf::Sessions).columns.into_iter();
    let fields: Vec<_> = columns.map(|column| column.map(|one| one.field)).collect();
    assert_eq!(
        fields,
        [
            Some(Field::Date),
            Some(Field::Venue),
            Some(Field::Angler),
            Some(Field::Hours),
            Some(Field::Weight)
        ]
    );
}
