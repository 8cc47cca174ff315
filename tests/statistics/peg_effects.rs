//! Every peg of a water at once, by hand.

use peglore::{
    domain::{
        dates::Day,
        ids::{AnglerId, MatchId, PegId},
    },
    statistics::{
        fished_days::{CatchUnit, FishedSession},
        peg_effects::of_every_peg,
    },
};

/// Five hours of a match from a drawn peg.
fn session(of: i64, peg: i64, fish: i64) -> FishedSession {
    FishedSession {
        day: Day(jiff::civil::date(2026, 11, 14)),
        angler: AnglerId(peg),
        rod_hours: Some(5.0),
        fish: Some(fish),
        weight_g: None,
        did_not_weigh: false,
        match_id: Some(MatchId(of)),
        drawn_peg: Some(PegId(peg)),
    }
}

#[test]
fn each_rate_stands_beside_the_mean_of_its_own_match() {
    let sessions = [
        session(1, 1, 30),
        session(1, 2, 10),
        session(2, 1, 5),
        session(2, 2, 15),
        session(2, 3, 10),
    ];

    let effects = of_every_peg(CatchUnit::Fish, &sessions);

    // Peg 1: 30 over a mean of 20, then 5 over 10: (1.5 + 0.5 + 4) / (2 + 4).
    assert!((effects[&PegId(1)].multiplier() - 1.0).abs() < 1e-12);
    // Peg 2: 0.5 and 1.5. Peg 3: 1 once.
    assert!((effects[&PegId(2)].multiplier() - 1.0).abs() < 1e-12);
    assert_eq!(effects[&PegId(3)].matches, 1);
    assert_eq!(effects[&PegId(3)].limits, None, "one match is no interval");
}

#[test]
fn a_match_in_which_nobody_caught_is_left_out_and_counted() {
    let sessions = [
        session(1, 1, 0),
        session(1, 2, 0),
        session(2, 1, 30),
        session(2, 2, 10),
    ];

    let effects = of_every_peg(CatchUnit::Fish, &sessions);

    assert_eq!(effects[&PegId(1)].left_out, 1);
    assert!((effects[&PegId(1)].multiplier() - 5.5 / 5.0).abs() < 1e-12);
}

#[test]
fn an_angler_who_moved_counts_in_the_mean_and_for_no_peg() {
    let moved = FishedSession {
        drawn_peg: None,
        ..session(1, 9, 50)
    };

    let effects = of_every_peg(CatchUnit::Fish, &[session(1, 1, 10), moved]);

    // 10 over a mean of 30.
    let expected = (1.0 / 3.0 + 4.0) / 5.0;
    assert!((effects[&PegId(1)].multiplier() - expected).abs() < 1e-12);
    assert_eq!(effects.len(), 1);
}

#[test]
fn who_left_early_is_judged_by_the_hours_fished() {
    let early = FishedSession {
        rod_hours: Some(2.5),
        ..session(1, 1, 10)
    };

    let effects = of_every_peg(CatchUnit::Fish, &[early, session(1, 2, 20)]);

    // Four fish an hour each.
    assert!((effects[&PegId(1)].multiplier() - 1.0).abs() < 1e-12);
}

#[test]
fn who_did_not_weigh_stands_as_nothing_caught() {
    let not_weighed = FishedSession {
        fish: None,
        did_not_weigh: true,
        ..session(1, 1, 0)
    };

    let effects = of_every_peg(CatchUnit::Fish, &[not_weighed, session(1, 2, 20)]);

    // Nothing over a mean of two an hour.
    assert!((effects[&PegId(1)].multiplier() - 4.0 / 5.0).abs() < 1e-12);
}
