//! Sessions added up by day, by hand.

use peglore::{
    domain::{
        dates::Day,
        groups::{Group, GroupSet},
        ids::AnglerId,
        units::Scale,
    },
    statistics::fished_days::{CatchUnit, FishedDays, FishedSession, Series},
};

const DAY: Day = Day(jiff::civil::date(2026, 11, 14));

fn session(angler: i64) -> FishedSession {
    FishedSession {
        day: DAY,
        angler: AnglerId(angler),
        rod_hours: Some(5.0),
        fish: None,
        weight_g: Some(4_535.923_7),
        did_not_weigh: false,
        match_id: None,
        drawn_peg: None,
    }
}

fn days(series: Series, scale: Scale, sessions: &[FishedSession]) -> FishedDays {
    FishedDays::of(series, GroupSet::from(Group::Silvers), scale, sessions)
}

#[test]
fn who_did_not_weigh_counts_as_nothing_and_the_day_without_them_is_kept() {
    let absent = FishedSession {
        weight_g: None,
        did_not_weigh: true,
        ..session(2)
    };
    let days = days(Series::Match, Scale::Drams, &[session(1), absent]);
    let day = days.days[0];
    assert_eq!((day.sessions, day.did_not_weigh), (2, 1));
    assert_eq!((day.effort, day.effort_weighed), (10.0, 5.0));
    assert!((day.catch - 10.0).abs() < 1e-12, "ten pounds");
    assert!((day.rate() - 1.0).abs() < 1e-12);
    assert!((day.rate_weighed().expect("one weighed") - 2.0).abs() < 1e-12);
}

#[test]
fn a_series_is_in_one_unit_fish_where_they_were_counted() {
    let counted = FishedSession {
        fish: Some(9),
        ..session(1)
    };
    assert_eq!(
        days(Series::Match, Scale::Drams, &[counted]).unit,
        CatchUnit::Fish
    );
    let mostly_weighed = days(
        Series::Match,
        Scale::Grams,
        &[counted, session(2), session(3)],
    );
    assert_eq!(mostly_weighed.unit, CatchUnit::HalfKilograms);
    assert!((mostly_weighed.days[0].catch - 3.0 * 9.071_847_4).abs() < 1e-9);
}

#[test]
fn sessions_without_hours_or_without_a_catch_are_left_out_and_counted() {
    let no_hours = FishedSession {
        rod_hours: None,
        ..session(2)
    };
    let no_catch = FishedSession {
        weight_g: None,
        ..session(3)
    };
    let days = days(
        Series::Match,
        Scale::Drams,
        &[session(1), no_hours, no_catch],
    );
    let behind = days.behind;
    assert_eq!(
        (behind.sessions, behind.without_hours, behind.without_catch),
        (1, 1, 1)
    );
    assert_eq!(behind.words(), "one day, one session, five rod-hours");
}

#[test]
fn reports_are_shown_from_three_anglers_and_matches_from_one() {
    let sessions = [session(1), session(1), session(2)];
    assert!(!days(Series::Report, Scale::Drams, &sessions).may_be_shown());
    assert!(days(Series::Match, Scale::Drams, &sessions[..1]).may_be_shown());
    let three = [session(1), session(2), session(3)];
    let shown = days(Series::Report, Scale::Drams, &three);
    assert!(shown.may_be_shown() && shown.may_be_listed(&shown.days[0]));
}

#[test]
fn those_who_weighed_caught_as_much_in_fewer_hours_and_never_less_an_hour() {
    let on = |days_ago: i64, angler| FishedSession {
        day: DAY.plus(-days_ago),
        ..session(angler)
    };
    let unweighed = |days_ago, angler| FishedSession {
        weight_g: None,
        did_not_weigh: true,
        ..on(days_ago, angler)
    };
    // Half weighed on one day, all on the next, nobody on the last.
    let sessions = [on(3, 1), unweighed(3, 2), on(2, 1), unweighed(1, 2)];
    let of = |sessions: &[FishedSession]| days(Series::Match, Scale::Drams, sessions);

    let times = of(&sessions).weighed_over_all([4.0, 3.0, 1.0].into_iter());

    // (4 + 3 + 1) over (2 + 3 + 0).
    assert!((times.expect("some weighed") - 1.6).abs() < 1e-12);
    let expected = || [1.0, 1.0].into_iter();
    assert_eq!(of(&[on(3, 1), on(2, 1)]).weighed_over_all(expected()), None);
    assert_eq!(of(&[unweighed(3, 1)]).weighed_over_all(expected()), None);
}
