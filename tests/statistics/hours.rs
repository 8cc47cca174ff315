//! Fish by hour since the start, beside effort.

use peglore::{
    domain::dates::{Day, Instant},
    statistics::hours::{Hours, RodSpan, TimedCatch, TimedSession},
};
use proptest::prelude::*;

const START: i64 = 1_750_000_000;

fn at(hours: f64) -> Instant {
    Instant(START + (hours * 3600.0) as i64)
}

fn session(hours: f64, fish: &[f64], total: Option<i64>) -> TimedSession {
    TimedSession {
        day: Day::new(2025, 6, 15).expect("a real day"),
        start: at(0.0),
        rods: vec![RodSpan {
            from: at(0.0),
            to: at(hours),
            rods: 1,
        }],
        catches: fish
            .iter()
            .map(|hour| TimedCatch {
                from: at(*hour),
                to: at(*hour),
                fish: 1,
            })
            .collect(),
        fish: total,
    }
}

#[test]
fn fish_and_effort_fall_in_their_hours() {
    let mut two_rods = session(2.5, &[0.5, 1.0, 2.4], Some(3));
    two_rods.rods = vec![
        RodSpan {
            from: at(0.0),
            to: at(2.5),
            rods: 1,
        },
        RodSpan {
            from: at(1.5),
            to: at(2.5),
            rods: 2,
        },
    ];
    let found = Hours::of(&[two_rods, session(1.0, &[0.9], Some(1))]);
    let table: Vec<_> = found
        .hours
        .iter()
        .map(|h| (h.fish, h.rod_hours, h.sessions))
        .collect();
    assert_eq!(table, [(2, 2.0, 2), (1, 2.0, 1), (1, 1.5, 1)]);
    assert_eq!(
        found.sentence(),
        "Two sessions on one day with every fish timed, 4 fish in 5.5 rod-hours."
    );
}

#[test]
fn each_hour_stands_on_the_days_of_the_sessions_fished_in_it() {
    let mut later = session(3.0, &[0.5], Some(1));
    later.day = later.day.plus(1);
    let found = Hours::of(&[
        session(1.0, &[0.5], Some(1)),
        session(1.0, &[0.5], Some(1)),
        later,
    ]);

    let days: Vec<_> = found.hours.iter().map(|h| (h.sessions, h.days)).collect();
    assert_eq!(days, [(3, 2), (1, 1), (1, 1)]);
    assert_eq!((found.sessions, found.days), (3, 2));
}

#[test]
fn a_tally_belongs_to_the_hour_of_its_middle() {
    let mut tallied = session(3.0, &[], Some(7));
    tallied.catches = vec![
        TimedCatch {
            from: at(0.0),
            to: at(1.0),
            fish: 2,
        },
        TimedCatch {
            from: at(1.0),
            to: at(2.0),
            fish: 5,
        },
    ];
    let found = Hours::of(&[tallied]);
    assert_eq!(
        found.hours.iter().map(|h| h.fish).collect::<Vec<_>>(),
        [2, 5, 0]
    );
}

#[test]
fn sessions_without_times_for_all_their_fish_are_left_out_and_said() {
    let untimed = session(5.0, &[], Some(9));
    let partly = session(5.0, &[1.5], Some(9));
    let found = Hours::of(&[untimed, partly]);
    assert_eq!(
        (found.sessions, found.untimed, found.partly_timed),
        (0, 1, 1)
    );
    assert_eq!(
        found.sentence(),
        "None of two sessions times all its fish, so the hours cannot be told."
    );
    assert_eq!(Hours::of(&[]).sentence(), "No session here yet.");
}

proptest! {
    #[test]
    fn no_fish_and_no_hour_is_lost(
        sessions in prop::collection::vec((0.5..12.0_f64, prop::collection::vec(0.0..1.0_f64, 1..20)), 1..10),
    ) {
        let sessions: Vec<_> = sessions
            .iter()
            .map(|(hours, shares)| session(*hours, &shares.iter().map(|s| s * hours).collect::<Vec<_>>(), None))
            .collect();
        let found = Hours::of(&sessions);
        let fish: usize = sessions.iter().map(|s| s.catches.len()).sum();
        let effort: f64 = sessions.iter().map(|s| s.rods[0].to.minutes_since(s.start) / 60.0).sum();
        prop_assert_eq!(found.hours.iter().map(|h| h.fish).sum::<i64>(), fish as i64);
        prop_assert!((found.hours.iter().map(|h| h.rod_hours).sum::<f64>() - effort).abs() < 1e-9);
    }
}
