//! Past results from other people's sheets: nothing guessed, every row understood or named.

use peglore::domain::dates::Day;
use peglore::domain::groups::{Group, GroupSet};
use peglore::domain::matches::{Outcome, PegsAllotted};
use peglore::domain::units::{Minutes, Weight};
use peglore::formats::csv::{Heading, read as read_csv};
use peglore::formats::days::DayOrder;
use peglore::formats::old_sheets::{
    Ask, BareWeights, Column, Field, Mapping, OldSheet, SheetOf, Told, disagreements, guess, read,
};

use super::sheet;

fn latest() -> Day {
    Day::parse("2026-06-01").expect("a real day")
}

fn old(text: &str, answer: impl FnOnce(&mut Mapping)) -> OldSheet {
    let sheet = sheet(text);
    let mut mapping = guess(&sheet, SheetOf::Matches);
    answer(&mut mapping);
    read(&sheet, &mapping, latest()).expect("a good mapping")
}

const WHOLE: &str = "Date,Match,Venue,Peg,Angler,Team,Section,Net 1,Net 2,Total weight,Place,Notes\n\
2019-01-05,Frost Cup 1,Quillet Water,14,Jem Coppleway,Reeds,A,12-8,3-4,15-12,1st,cold\n\
2019-01-05,Frost Cup 1,Quillet Water,15,\"Hazelpatch, Dot\",Reeds,A,4 lb 2 oz,,4-2,2,\n\
2019-01-05,Frost Cup 1,Quillet Water,16,Tam Oxbarrow,Reeds,B,DNW,,,,\n\
2019-01-05,Frost Cup 1,Quillet Water,17,Ned Furrowby,Reeds,B,0,,,,\n\
2019-01-12,Frost Cup 2,Quillet Water,1,Jem Coppleway,Reeds,A,5.67 kg,,,1,\n";

#[test]
fn a_good_sheet_is_read_whole_and_grouped_into_its_matches() {
    let read = old(WHOLE, |mapping| {
        mapping.minutes = Some(Minutes(300));
        mapping.pegs_allotted = Some(PegsAllotted::Bag);
        mapping.groups = Some(GroupSet::ALL);
    });

    assert_eq!(
        (read.problems.as_slice(), read.asks.as_slice()),
        ([].as_slice(), [].as_slice())
    );
    let matches = read.matches();
    let shape: Vec<_> = matches.iter().map(|m| (m.name, m.entries.len())).collect();
    assert_eq!(shape, [("Frost Cup 1", 4), ("Frost Cup 2", 1)]);
    let first = matches[0].entries[0];
    assert_eq!(
        first.nets.iter().map(|net| net.weight).collect::<Vec<_>>(),
        [Weight::lb_oz(12, 8), Weight::lb_oz(3, 4)],
        "the total is not a third net"
    );
    assert_eq!(
        (first.place, first.minutes, first.remarks.as_deref()),
        (Some(1), Some(Minutes(300)), Some("cold"))
    );
    assert_eq!(matches[0].entries[1].angler.full(), "Dot Hazelpatch");
    let outcomes: Vec<_> = matches[0].entries.iter().map(|e| e.outcome).collect();
    assert_eq!(
        outcomes,
        [
            Outcome::Fished,
            Outcome::Fished,
            Outcome::DidNotWeigh,
            Outcome::Blank
        ]
    );
    assert_eq!(matches[1].entries[0].nets[0].weight, Weight::grams(5670));
}

#[test]
fn what_a_sheet_leaves_out_is_asked_once() {
    let text = "Name,Weight\nJem Coppleway,12.8\nDot Hazelpatch,3.4\n";
    let read = old(text, |_| {});
    assert_eq!(
        read.asks,
        [
            Ask::Date(Vec::new()),
            Ask::Venue(Vec::new()),
            Ask::MatchName,
            Ask::Hours,
            Ask::PegsAllotted,
            Ask::Groups,
            Ask::Bare {
                example: "12.8".to_owned()
            }
        ]
    );
    assert!(
        read.asks
            .iter()
            .all(|ask| ask.sentence().ends_with(['?', '.']))
    );
    assert_eq!((read.entries.len(), read.problems.len()), (0, 2));

    let answered = |bare| {
        let read = old(text, |mapping| {
            *mapping = Mapping {
                date: Day::parse("2019-01-05"),
                venue: Some("Quillet Water".to_owned()),
                match_name: Some("Frost Cup".to_owned()),
                bare: Some(bare),
                ..mapping.clone()
            }
        });
        read.entries
            .iter()
            .map(|e| e.nets[0].weight.amount())
            .collect::<Vec<_>>()
    };
    assert_eq!(answered(BareWeights::PoundsPointOunces), [3200, 832]);
    assert_eq!(answered(BareWeights::DecimalPounds), [3276, 870]);
    assert_eq!(answered(BareWeights::Kilograms), [12_800, 3_400]);
}

#[test]
fn the_order_of_day_and_month_is_one_question() {
    let text = "Date,Match,Venue,Name,Weight\n01/02/2019,Cup,Quillet Water,Jem,1-0\n03/04/2019,Cup,Quillet Water,Dot,2-0\n";
    let unasked = old(text, |_| {});
    assert!(
        unasked
            .asks
            .iter()
            .any(|ask| matches!(ask, Ask::DayOrder(_)))
    );
    assert_eq!(unasked.problems.len(), 2);
    let answered = old(text, |mapping| mapping.day_order = Some(DayOrder::DayFirst));
    assert_eq!(answered.entries[0].day.to_string(), "2019-02-01");
}

#[test]
fn a_row_that_cannot_be_taken_names_all_that_is_wrong_with_it() {
    let text = "Date,Match,Venue,Name,Weight,Outcome,Hours\n\
        2019-02-30,Cup,Quillet Water,,12-16,,\n2027-01-01,Cup,Quillet Water,Jem,1-0,,\n2019-01-05,Cup,Quillet Water,Dot,1-0,blank,\n\
        2019-01-05,Cup,Quillet Water,Tam,,,\n2019-01-05,Cup,Quillet Water,Ned,1-0,,5\n2019-01-05,Cup,Quillet Water,ned,2-0,,5\n2019-01-05,Cup,Quillet Water,Ivy,1-0,maybe,5\n";
    let read = old(text, |_| {});
    let lines: Vec<_> = read
        .problems
        .iter()
        .map(|bad| (bad.line, bad.sentences.len()))
        .collect();
    assert_eq!(lines, [(2, 3), (3, 1), (4, 1), (5, 1), (7, 1), (8, 1)]);
    assert!(
        read.problems
            .iter()
            .flat_map(|bad| &bad.sentences)
            .all(|s| s.ends_with('.')),
        "{:?}",
        read.problems
    );
    assert_eq!(read.entries.len(), 1);
}

#[test]
fn the_same_row_has_the_same_hash_wherever_it_stands() {
    let hashes = |text: &str| {
        old(text, |_| {})
            .entries
            .iter()
            .map(|e| e.row_sha256())
            .collect::<Vec<_>>()
    };
    let comma = hashes(
        "Date,Match,Venue,Name,Weight\n2019-01-05,Cup,Quillet Water,Jem Coppleway,12-8\n2019-01-05,Cup,Quillet Water,Dot,1-0\n",
    );
    let other = hashes(
        "Name;Weight;Venue;Match;Date\nDot;1 lb;quillet water;CUP;5 Jan 2019\nCoppleway, Jem;12 lb 8 oz;Quillet  Water;Cup;05 January 2019\n",
    );
    assert_eq!(comma, [other[1], other[0]]);
    assert_ne!(comma[0], comma[1]);
}

#[test]
fn a_mapping_without_an_angler_or_a_weight_is_refused() {
    let sheet = sheet("a,b\nx,y\n");
    let refused = |columns: Vec<Option<Field>>| {
        let columns = columns.into_iter().map(|f| f.map(Column::from)).collect();
        read(
            &sheet,
            &Mapping {
                columns,
                ..Mapping::default()
            },
            latest(),
        )
        .expect_err("refused")
        .len()
    };
    assert_eq!(refused(vec![None, None]), 2);
    assert_eq!(refused(vec![Some(Field::Angler), Some(Field::Angler)]), 2);
    for of in [SheetOf::Matches, SheetOf::Sessions] {
        for column in Column::all(of) {
            assert_eq!(Column::from_slug(&column.slug()), Some(column));
        }
    }
    assert_eq!(Column::from_slug("peg.carp"), None);
}

const ONE: &str =
    "Date,Match,Venue,Peg,Angler,Team,Section,Weight,Place,Hours,Method,Count,Remarks\n";
const GOOD: [&str; 13] = [
    "2019-01-05",
    "Frost Cup",
    "Quillet Water",
    "14",
    "Jem Coppleway",
    "Reeds",
    "A",
    "12-8",
    "1",
    "5",
    "Pole",
    "7",
    "cold",
];

#[test]
fn a_row_that_differs_in_any_field_is_another_row() {
    let hash = |cells: &[&str]| {
        let read = old(&format!("{ONE}{}\n", cells.join(",")), |_| {});
        assert_eq!(read.problems, [], "{cells:?}");
        read.entries[0].row_sha256()
    };
    let other = [
        "2019-01-06",
        "Frost Bowl",
        "Sallow Pool",
        "15",
        "Dot Coppleway",
        "Rushes",
        "B",
        "12-9",
        "2",
        "6",
        "Whip",
        "8",
        "mild",
    ];
    let mut seen = vec![hash(&GOOD)];
    for at in 0..GOOD.len() {
        let mut cells = GOOD;
        cells[at] = other[at];
        seen.push(hash(&cells));
    }
    seen.sort_unstable();
    seen.dedup();
    assert_eq!(seen.len(), GOOD.len() + 1);
}

#[test]
fn a_weight_carries_the_set_of_groups_it_covers() {
    let text = "Date,Match,Venue,Name,Carp,Silvers weight,Catch\n2019-01-05,Cup,Quillet Water,Jem,10-0,2-0,1-0\n";
    let set = |groups: &[Group]| GroupSet::of(groups.iter().copied()).expect("not empty");
    let read = old(text, |mapping| {
        mapping.groups = Some(set(&[
            Group::Carp,
            Group::Silvers,
            Group::F1s,
            Group::Other,
        ]));
    });
    let sets: Vec<_> = read.entries[0].nets.iter().map(|net| net.groups).collect();
    assert_eq!(
        sets,
        [
            set(&[Group::Carp]),
            set(&[Group::Silvers]),
            set(&[Group::F1s, Group::Other])
        ]
    );

    let sheet = sheet(text);
    let none_left = Mapping {
        groups: Some(set(&[Group::Carp, Group::Silvers])),
        ..guess(&sheet, SheetOf::Matches)
    };
    let refused = peglore::formats::old_sheets::read(&sheet, &none_left, latest());
    assert!(refused.is_err_and(|why| why[0].contains("leave it out if it is a total")));
}

#[test]
fn sessions_need_no_match_and_may_be_counted_without_a_weight() {
    let text = "Date,Venue,Name,Fish,Weight\n2019-01-05,Quillet Water,Jem,7,\n2019-01-05,Quillet Water,Dot,,blank\n\
        2019-01-05,Quillet Water,Tam,,\n2019-01-05,Quillet Water,Ned,0,1-0\n2019-01-05,Quillet Water,Ivy,,absent\n2019-01-05,Quillet Water,Jem,7,\n";
    let sheet = sheet(text);
    let read = read(&sheet, &guess(&sheet, SheetOf::Sessions), latest()).expect("a good mapping");

    assert_eq!(read.asks, [Ask::Hours, Ask::Groups, Ask::Visibility]);
    let outcomes: Vec<_> = read.entries.iter().map(|e| e.outcome).collect();
    assert_eq!(outcomes, [Outcome::Fished, Outcome::Blank]);
    assert_eq!(read.entries[0].counts, [(GroupSet::ALL, 7)]);
    let lines: Vec<_> = read.problems.iter().map(|bad| bad.line).collect();
    assert_eq!(lines, [4, 5, 6, 7]);
}

#[test]
fn a_place_that_the_weights_do_not_bear_out_is_told() {
    let text = "Date,Match,Venue,Name,Section,Weight,Place\n2019-01-05,Cup,Quillet Water,Jem,A,10-0,1\n\
        2019-01-05,Cup,Quillet Water,Dot,B,9-0,1st\n2019-01-05,Cup,Quillet Water,Tam,A,8-0,2\n2019-01-05,Cup,Quillet Water,Ned,B,7-0,1\n2019-01-05,Cup,Quillet Water,Ivy,B,blank,5\n";
    let read = old(text, |_| {});
    let told: Vec<_> = disagreements(&read.matches()[0], &[]);
    assert_eq!(told.len(), 1, "{told:?}");
    assert_eq!(told[0].line, 5);
    assert!(told[0].sentence.contains("“Ned” 1, the weights 4"));
    let told = disagreements(&read.matches()[0], &[7, 9]);
    assert!(
        told[0]
            .sentence
            .contains("Lines 7 and 9 of this match cannot be taken, which may be why"),
        "{told:?}"
    );
    // However many places differ, what cannot be taken is said once.
    let many = old(&text.replace("10-0", "1-0"), |_| {});
    let told = disagreements(&many.matches()[0], &[7]);
    assert!(told.len() > 1, "{told:?}");
    let why = |told: &&Told| told.sentence.contains("Line 7 of this match");
    assert_eq!(told.iter().filter(why).count(), 1, "{told:?}");
    assert!(told[0].sentence.contains("Line 7 of this match"));
}

mod anything {
    use super::*;
    use proptest::prelude::*;

    fn hostile() -> impl Strategy<Value = String> {
        let odd = prop::sample::select(vec![
            "-1",
            "-0",
            "1e9",
            "NaN",
            "0x10",
            "٤",
            "4,5",
            "1.234,5",
            "17 oz",
            "12-17",
            "=1+1",
            "@x",
            "+1",
            "31/04/2019",
            "29/02/2019",
            "01/02/03",
            "0001-01-01",
            "9999-12-31",
            "999999",
            "peg 0",
            "<script>",
            "\u{202e}evil",
            "\u{200b}",
            "\0",
            "a\nb",
            "'; --",
        ]);
        prop_oneof![odd.prop_map(str::to_owned), "[^\"]{0,24}", "[0-9]{1,400}"]
    }

    proptest! {
        #[test]
        fn any_cells_are_a_row_or_a_problem_and_never_lost(cells in prop::collection::vec(hostile(), 13)) {
            let quoted: Vec<String> = cells.iter().map(|cell| format!("\"{cell}\"")).collect();
            let text = format!("{ONE}{}\n{}\n", GOOD.join(","), quoted.join(","));
            if let Ok(sheet) = read_csv(text.as_bytes(), Heading::Present) {
                let rows = sheet.rows.iter().filter(|row| !row.is_empty()).count();
                for of in [SheetOf::Matches, SheetOf::Sessions] {
                    if let Ok(read) = read(&sheet, &guess(&sheet, of), latest()) {
                        prop_assert_eq!(read.entries.len() + read.problems.len() + read.totals.len(), rows);
                        prop_assert!(read.problems.iter().all(|bad| !bad.sentences.is_empty()));
                        prop_assert!(read.entries.iter().all(|entry| entry.day <= latest()));
                    }
                }
            }
        }

        #[test]
        fn a_row_hash_hangs_on_what_was_understood_alone(name in "[A-Z][a-z]{2,8} [A-Z][a-z]{2,8}", lb in 1..99_u32, oz in 0..16_u32) {
            let row = |name: &str, weight: String| {
                let text = format!("Date,Match,Venue,Name,Weight\n2019-01-05,Cup,Quillet Water,{name},{weight}\n");
                old(&text, |_| {}).entries[0].row_sha256()
            };
            prop_assert_eq!(row(&name, format!("{lb}-{oz}")), row(&name.to_uppercase(), format!("{lb} lb {oz} oz")));
        }
    }
}
