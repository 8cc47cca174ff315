//! Every peg of a water at once, by hand.

use peglore::{
    domain::ids::{MatchId, PegId},
    statistics::peg_effects::{DrawnEntry, of_every_peg},
};

fn entry(of: i64, peg: i64, weight_g: f64) -> DrawnEntry {
    DrawnEntry {
        match_id: MatchId(of),
        peg: Some(PegId(peg)),
        weight_g,
    }
}

#[test]
fn each_weight_stands_beside_the_mean_of_its_own_match() {
    let entries = [
        entry(1, 1, 300.0),
        entry(1, 2, 100.0),
        entry(2, 1, 50.0),
        entry(2, 2, 150.0),
        entry(2, 3, 100.0),
    ];

    let effects = of_every_peg(&entries);

    // Peg 1: 300 over a mean of 200, then 50 over 100: (1.5 + 0.5 + 4) / (2 + 4).
    assert!((effects[&PegId(1)].multiplier() - 1.0).abs() < 1e-12);
    // Peg 2: 0.5 and 1.5. Peg 3: 1 once.
    assert!((effects[&PegId(2)].multiplier() - 1.0).abs() < 1e-12);
    assert_eq!(effects[&PegId(3)].matches, 1);
    assert_eq!(effects[&PegId(3)].limits, None, "one match is no interval");
}

#[test]
fn a_match_in_which_nobody_caught_is_left_out_and_counted() {
    let entries = [
        entry(1, 1, 0.0),
        entry(1, 2, 0.0),
        entry(2, 1, 300.0),
        entry(2, 2, 100.0),
    ];

    let effects = of_every_peg(&entries);

    assert_eq!(effects[&PegId(1)].left_out, 1);
    assert!((effects[&PegId(1)].multiplier() - 5.5 / 5.0).abs() < 1e-12);
}

#[test]
fn an_angler_whose_peg_is_not_known_still_counts_in_the_mean() {
    let unknown = DrawnEntry {
        peg: None,
        ..entry(1, 9, 500.0)
    };

    let effects = of_every_peg(&[entry(1, 1, 100.0), unknown]);

    // 100 over a mean of 300.
    let expected = (1.0 / 3.0 + 4.0) / 5.0;
    assert!((effects[&PegId(1)].multiplier() - expected).abs() < 1e-12);
    assert_eq!(effects.len(), 1);
}

#[test]
fn the_same_entries_give_the_same_interval() {
    let entries: Vec<_> = (0..8)
        .flat_map(|of| [entry(of, 1, 200.0 + of as f64), entry(of, 2, 100.0)])
        .collect();

    let (once, again) = (of_every_peg(&entries), of_every_peg(&entries));

    assert_eq!(once, again);
    assert!(once[&PegId(1)].limits.is_some());
}
