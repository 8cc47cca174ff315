//! A peg's multiplier, by hand and by what must hold.

use peglore::statistics::peg_effect::{DrawnMatch, peg_effect};
use rand::{SeedableRng, rngs::ChaCha8Rng};

fn generator() -> ChaCha8Rng {
    ChaCha8Rng::seed_from_u64(11)
}

fn drawn(ratios: &[f64]) -> Vec<DrawnMatch> {
    ratios
        .iter()
        .map(|&r| DrawnMatch {
            rate: 3.0 * r,
            mean_rate: 3.0,
        })
        .collect()
}

#[test]
fn the_multiplier_is_shrunk_as_worked_by_hand() {
    // Σρ = 2 + 1 + 3 = 6 over three matches: ln(10/7).
    let effect = peg_effect(&drawn(&[2.0, 1.0, 3.0]), &mut generator());
    assert!((effect.ln_multiplier - (10.0f64 / 7.0).ln()).abs() < 1e-15);
    assert!((effect.multiplier() - 10.0 / 7.0).abs() < 1e-15);
    assert_eq!((effect.matches, effect.limits), (3, None));
}

#[test]
fn a_peg_never_drawn_is_like_any_other() {
    let effect = peg_effect(&[], &mut generator());
    assert_eq!(
        (effect.ln_multiplier, effect.limits, effect.matches),
        (0.0, None, 0)
    );
}

#[test]
fn a_match_in_which_nobody_caught_is_left_out_and_a_blank_peg_is_not() {
    let mut matches = drawn(&[0.0, 0.0]);
    matches.push(DrawnMatch {
        rate: 0.0,
        mean_rate: 0.0,
    });
    let effect = peg_effect(&matches, &mut generator());
    assert_eq!((effect.matches, effect.left_out), (2, 1));
    assert!((effect.ln_multiplier - (4.0f64 / 6.0).ln()).abs() < 1e-15);
}

#[test]
fn limits_hold_the_estimate_and_are_the_same_from_the_same_seed() {
    let matches = drawn(&[0.2, 1.4, 2.2, 0.9, 1.8, 3.0, 0.0, 1.1]);
    let effect = peg_effect(&matches, &mut generator());
    let (lower, upper) = effect.limits.expect("eight matches are enough");
    assert!(lower < effect.ln_multiplier && effect.ln_multiplier < upper);
    assert_eq!(effect, peg_effect(&matches, &mut generator()));
}

#[test]
fn a_peg_that_always_does_as_the_match_does_has_no_width() {
    let effect = peg_effect(&drawn(&[1.0; 6]), &mut generator());
    assert_eq!(effect.limits, Some((0.0, 0.0)));
}

#[test]
fn another_unit_of_weight_changes_nothing() {
    let matches = drawn(&[0.2, 1.4, 2.2, 0.9, 1.8]);
    let grams: Vec<DrawnMatch> = matches
        .iter()
        .map(|m| DrawnMatch {
            rate: 512.0 * m.rate,
            mean_rate: 512.0 * m.mean_rate,
        })
        .collect();
    assert_eq!(
        peg_effect(&matches, &mut generator()),
        peg_effect(&grams, &mut generator())
    );
}
