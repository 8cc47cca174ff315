//! Chance draws, by hand and by what must hold.

use peglore::numerics::randomise::tails_of_sum;
use rand::{RngExt, SeedableRng, rngs::ChaCha8Rng};

fn generator(seed: u64) -> ChaCha8Rng {
    ChaCha8Rng::seed_from_u64(seed)
}

#[test]
fn tails_are_those_of_every_draw_counted_by_hand() {
    // Two draws of 0, 1 or 2: the sum is 0 to 4 in 1, 2, 3, 2 and 1 of nine ways.
    let pools = vec![vec![0.0, 1.0, 2.0]; 2];
    for (sum, low, high) in [(0.0, 1, 9), (1.0, 3, 8), (2.0, 6, 6), (4.0, 9, 1)] {
        let tails = tails_of_sum(sum, &pools, 20_000, &mut generator(1)).expect("two pools");
        assert!(
            (tails.low - f64::from(low) / 9.0).abs() < 0.02,
            "{sum}: {tails:?}"
        );
        assert!(
            (tails.high - f64::from(high) / 9.0).abs() < 0.02,
            "{sum}: {tails:?}"
        );
    }
}

#[test]
fn a_sum_beyond_every_draw_has_the_least_chance_there_is_and_never_none() {
    let pools = vec![vec![0.0, 1.0]; 3];
    let tails = tails_of_sum(4.0, &pools, 99, &mut generator(2)).expect("three pools");
    assert_eq!((tails.low, tails.high), (1.0, 0.01));
}

#[test]
fn sums_that_are_equal_but_for_rounding_count_both_ways() {
    // 0.1 + 0.2 + 0.3 and 0.6 are not the same number to a machine.
    let pools = [vec![0.1], vec![0.2], vec![0.3]];
    let tails = tails_of_sum(0.6, &pools, 99, &mut generator(3)).expect("three pools");
    assert_eq!((tails.low, tails.high), (1.0, 1.0));
}

#[test]
fn nothing_to_draw_from_has_no_answer() {
    assert_eq!(tails_of_sum(1.0, &[], 99, &mut generator(4)), None);
    let pools = [vec![1.0], Vec::new()];
    assert_eq!(tails_of_sum(1.0, &pools, 99, &mut generator(4)), None);
}

#[test]
fn the_same_seed_gives_the_same_tails() {
    let pools = vec![vec![0.0, 0.3, 2.5, 7.0]; 9];
    let tails = || tails_of_sum(12.0, &pools, 499, &mut generator(5));
    assert_eq!(tails(), tails());
}

/// Sums that are themselves even draws, and how often each share of chance is met.
fn shares(blank: f64) -> (f64, f64) {
    let mut generator = generator(6);
    let trials = 1_000;
    let (mut odd, mut upper_half) = (0, 0);
    for _ in 0..trials {
        let mut pools = Vec::new();
        for _ in 0..8 {
            let pool: Vec<f64> = (0..12)
                .map(|_| match generator.random::<f64>() < blank {
                    true => 0.0,
                    false => (1.0 - generator.random::<f64>()).ln().powi(2),
                })
                .collect();
            pools.push(pool);
        }
        let observed: f64 = pools.iter().map(|pool| pool[0]).sum();
        let tails = tails_of_sum(observed, &pools, 199, &mut generator).expect("eight pools");
        odd += usize::from(2.0 * tails.low.min(tails.high) <= 0.05);
        upper_half += usize::from(tails.high <= 0.5);
    }
    let share = |count: usize| count as f64 / f64::from(trials);
    (share(odd), share(upper_half))
}

#[test]
fn an_even_draw_looks_odd_one_time_in_twenty_and_high_one_time_in_two() {
    let (odd, high) = shares(0.0);
    assert!((0.02..0.08).contains(&odd), "{odd}");
    assert!((0.43..0.57).contains(&high), "{high}");
}

#[test]
fn where_most_draws_are_blank_an_even_one_looks_odd_no_oftener() {
    let (odd, high) = shares(0.85);
    assert!(odd < 0.07, "{odd}");
    assert!(high < 0.57, "{high}");
}
