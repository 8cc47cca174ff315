//! Every peg of a water at once, by hand.

use peglore::{
    domain::{
        dates::Day,
        ids::{AnglerId, MatchId, PegId},
    },
    statistics::{
        fished_days::{CatchUnit, FishedSession},
        peg_effect::Standing,
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

#[test]
fn a_peg_is_told_from_chance_by_the_drawn_pegs_of_its_own_matches() {
    // Best of three every time: one draw in 243 does as well.
    let alone: Vec<FishedSession> = (1..=5)
        .flat_map(|of| [session(of, 1, 20), session(of, 2, 10), session(of, 3, 10)])
        .collect();
    // The same beside an angler who moved and caught little: no peg could have been dealt that.
    let with_moved: Vec<FishedSession> = (1..=5)
        .flat_map(|of| {
            let moved = FishedSession {
                drawn_peg: None,
                ..session(of, 9, 4)
            };
            [session(of, 1, 20), session(of, 2, 20), moved]
        })
        .collect();

    let alone = of_every_peg(CatchUnit::Fish, &alone)[&PegId(1)];
    let with_moved = of_every_peg(CatchUnit::Fish, &with_moved)[&PegId(1)];

    assert_eq!(alone.standing(), Some(Standing::Adds));
    // Above the mean of its matches, and just as every drawn peg did.
    assert!(with_moved.limits.is_some_and(|(lower, _)| lower > 0.0));
    assert_eq!(with_moved.standing(), Some(Standing::LuckOfTheDraw));
}
