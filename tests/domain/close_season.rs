//! The close season. Rivers in England and Wales: 15 March to 15 June, both included
//! (Environment Agency national byelaws).

use peglore::domain::{
    close_season::{Shut, close_season},
    dates::Day,
    venues::{CloseSeason, MonthDay, WaterKind},
};
use proptest::prelude::*;

use crate::support::days::day;

fn dates(from: &str, to: &str) -> CloseSeason {
    let read = |text| MonthDay::parse(text).expect("a day of the year");
    CloseSeason {
        from: read(from),
        to: read(to),
    }
}

#[test]
fn rivers_are_shut_from_15_march_to_15_june_inclusive() {
    for (date, shut) in [
        ("2026-03-14", false),
        ("2026-03-15", true),
        ("2026-06-15", true),
        ("2026-06-16", false),
    ] {
        let found = close_season(WaterKind::River, None, day(date));
        assert_eq!(found != Shut::No, shut, "{date}");
    }
    let found = close_season(WaterKind::River, None, day("2026-05-01"));
    let words = found.words().expect("a sentence");
    assert!(
        words.contains("15 March to 15 June") && words.contains("England and Wales"),
        "{words}"
    );
}

#[test]
fn other_waters_are_open_unless_they_give_dates_of_their_own() {
    for kind in [WaterKind::Stillwater, WaterKind::Canal] {
        assert_eq!(close_season(kind, None, day("2026-05-01")), Shut::No);
        let own = Some(dates("04-01", "04-30"));
        assert!(matches!(
            close_season(kind, own, day("2026-04-30")),
            Shut::ByItsOwnDates { .. }
        ));
        assert_eq!(close_season(kind, own, day("2026-05-01")), Shut::No);
    }
}

#[test]
fn a_rivers_own_dates_do_not_lift_the_byelaw() {
    let own = Some(dates("01-10", "01-20"));
    let found = close_season(WaterKind::River, own, day("2026-05-01"));
    assert!(matches!(found, Shut::ByByelaw { .. }));
}

#[test]
fn own_dates_may_run_over_the_new_year() {
    let winter = dates("12-15", "01-15");
    for (date, shut) in [
        ("2026-12-14", false),
        ("2026-12-15", true),
        ("2027-01-15", true),
        ("2027-01-16", false),
    ] {
        assert_eq!(winter.includes(day(date)), shut, "{date}");
    }
}

#[test]
fn only_days_that_some_year_has_are_read() {
    assert_eq!(
        MonthDay::parse("02-29").map(|d| d.to_string()).as_deref(),
        Some("02-29")
    );
    for text in ["02-30", "13-01", "3", "", "a-b", "00-10"] {
        assert_eq!(MonthDay::parse(text), None, "{text}");
    }
}

proptest! {
    #[test]
    fn a_close_season_and_its_complement_make_the_year(start in 0..365_i64, length in 0..363_i64, on in 0..365_i64) {
        // 2025, 2026 and 2027 have no 29 February between the days used here.
        let first = day("2025-01-01").plus(start);
        let ends = |from: Day, to: Day| dates(&from.to_string()[5..], &to.to_string()[5..]);
        let shut = ends(first, first.plus(length));
        let open = ends(first.plus(length + 1), first.plus(364));
        let on = day("2025-01-01").plus(on);
        prop_assert_ne!(shut.includes(on), open.includes(on));
    }
}
