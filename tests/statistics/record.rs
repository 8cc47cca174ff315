//! Rates by series and set: never mixed, and reports only with three anglers behind them.

use peglore::{
    domain::{
        dates::Day,
        groups::{Group, GroupSet},
        ids::{AnglerId, SessionId},
        units::Scale,
    },
    statistics::{
        fished_days::Series,
        rates::{CatchRow, Measure, Rate},
        record::{AtWater, Figure, OnRecord, RecordRow, figures, on_record},
    },
};

fn row(series: Series, groups: GroupSet, angler: i64, day: i8) -> RecordRow {
    RecordRow {
        series,
        groups,
        angler: AnglerId(angler),
        caught: CatchRow {
            day: Day::new(2026, 6, day).expect("a real day"),
            rod_hours: Some(5.0),
            fish: Some(i64::from(day)),
            weight_g: Some(100.0 * f64::from(day)),
            did_not_weigh: false,
            match_id: None,
            lowest_beside_g: None,
        },
    }
}

fn both() -> GroupSet {
    GroupSet::of([Group::Carp, Group::Silvers]).expect("two groups")
}

#[test]
fn matches_stand_first_and_the_widest_set_before_its_parts() {
    let silvers = Group::Silvers.into();
    let rows = [
        row(Series::Report, silvers, 1, 1),
        row(Series::Match, silvers, 1, 2),
        row(Series::Match, both(), 1, 2),
    ];

    let found = figures(&rows, Scale::Drams);

    assert_eq!(found[0].series, Series::Match);
    assert_eq!(found[1].series, Series::Report);
    let sets: Vec<_> = found[0].sets.iter().map(|set| set.groups).collect();
    assert_eq!(sets, [both(), silvers]);
}

#[test]
fn a_figure_uses_rows_of_its_own_series_and_set_alone() {
    let silvers = Group::Silvers.into();
    let own: Vec<_> = (1..=7)
        .map(|day| row(Series::Match, silvers, 1, day))
        .collect();
    let mut rows = own.clone();
    rows.extend((1..=7).map(|day| row(Series::Report, silvers, 1, day)));
    rows.extend((1..=7).map(|day| row(Series::Match, both(), 1, day)));
    let caught: Vec<_> = own.iter().map(|row| row.caught).collect();

    let found = figures(&rows, Scale::Drams);

    let expected = Rate::of(Measure::Weight(Scale::Drams), &caught);
    assert_eq!(found[0].sets[1].weight, Figure::Told(expected));
    assert_eq!(found[0].main().map(|(groups, _)| groups), Some(both()));
}

#[test]
fn reports_of_two_anglers_are_withheld_measure_by_measure() {
    let silvers = Group::Silvers.into();
    let mut rows: Vec<_> = (1..=6)
        .map(|day| row(Series::Report, silvers, i64::from(day % 2), day))
        .collect();
    // The third angler counted fish and weighed nothing.
    let mut third = row(Series::Report, silvers, 7, 7);
    third.caught.weight_g = None;
    rows.push(third);

    let found = figures(&rows, Scale::Drams);

    assert_eq!(found[0].sets[0].weight, Figure::TooFewAnglers);
    assert!(matches!(found[0].sets[0].number, Figure::Told(_)));
}

#[test]
fn a_few_days_of_reports_are_shown_only_where_each_has_three_anglers() {
    let silvers = Group::Silvers.into();
    let one_a_day: Vec<_> = (1..=3)
        .map(|day| row(Series::Report, silvers, i64::from(day), day))
        .collect();
    let all_on_each: Vec<_> = (1..=2)
        .flat_map(|day| (1..=3).map(move |angler| row(Series::Report, silvers, angler, day)))
        .collect();

    let apart = figures(&one_a_day, Scale::Drams);
    let together = figures(&all_on_each, Scale::Drams);

    assert_eq!(apart[0].sets[0].weight, Figure::TooFewAnglers);
    assert!(matches!(together[0].sets[0].weight, Figure::Told(_)));
}

#[test]
fn a_measure_nobody_wrote_down_is_not_known_rather_than_nothing() {
    let mut only = row(Series::Match, both(), 1, 3);
    only.caught.fish = None;

    let found = figures(&[only], Scale::Drams);

    assert_eq!(found[0].sets[0].number, Figure::NotKnown);
    assert!(figures(&[], Scale::Drams).is_empty());
}

#[test]
fn what_is_on_record_counts_sessions_once_and_match_days_apart() {
    let silvers = Group::Silvers.into();
    let at = |session, row| AtWater {
        session: SessionId(session),
        row,
    };
    let rows = [
        at(1, row(Series::Match, both(), 1, 6)),
        at(1, row(Series::Match, silvers, 1, 6)),
        at(2, row(Series::Match, both(), 2, 6)),
        at(3, row(Series::Report, silvers, 1, 9)),
        at(4, row(Series::Match, both(), 3, 13)),
    ];

    let day = |date| Day::new(2026, 6, date);
    let by_hand = OnRecord {
        match_days: 2,
        sessions: 3,
        first: day(6),
        latest: day(13),
    };
    assert_eq!(on_record(&rows, false), by_hand);
    assert_eq!(on_record(&[], true), OnRecord::default());
}

#[test]
fn only_members_are_told_of_reports_and_only_with_three_anglers_behind_them() {
    let at = |session, series, angler, day| AtWater {
        session: SessionId(session),
        row: row(series, both(), angler, day),
    };
    let mut rows = vec![
        at(1, Series::Match, 1, 6),
        at(2, Series::Report, 1, 2),
        at(3, Series::Report, 2, 20),
    ];
    let matches = on_record(&rows[..1], false);
    assert_eq!(on_record(&rows, true), matches);

    rows.push(at(4, Series::Report, 3, 9));

    assert_eq!(on_record(&rows, false), matches);
    let day = |date| Day::new(2026, 6, date);
    let with_reports = OnRecord {
        match_days: 1,
        sessions: 4,
        first: day(2),
        latest: day(20),
    };
    assert_eq!(on_record(&rows, true), with_reports);
}
