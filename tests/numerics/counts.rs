//! Exact Poisson limits against R 4.2.2 `poisson.test`; 137 in 24.19893 is the example of its
//! help page. Source of the interval: Garwood (1936).

use peglore::numerics::counts::exact_rate_limits;
use proptest::prelude::*;

use crate::tables::close;

#[test]
fn exact_limits_are_those_of_the_reference() {
    let table: [(u64, f64, f64, f64, f64); 12] = [
        (0, 1.0, 0.95, 0.0, 3.68887945411),
        (0, 1.0, 0.80, 0.0, std::f64::consts::LN_10),
        (1, 1.0, 0.95, 0.0253178079843, 5.57164339094),
        (1, 1.0, 0.80, 0.105360515658, 3.88972016987),
        (5, 2.0, 0.95, 0.811743195059, 5.83416603966),
        (5, 2.0, 0.80, 1.21629551298, 4.63733694668),
        (10, 4.0, 0.95, 1.19884717403, 4.5975890105),
        (10, 4.0, 0.80, 1.55532615131, 3.85166029299),
        (137, 24.19893, 0.95, 4.75312480485, 6.69270933418),
        (137, 24.19893, 0.80, 5.0510584643, 6.33303536145),
        (3, 10.0, 0.95, 0.0618672122896, 0.876727306974),
        (3, 10.0, 0.80, 0.110206532825, 0.668078306826),
    ];
    for (count, exposure, coverage, lower, upper) in table {
        let got = exact_rate_limits(count, exposure, coverage).expect("limits");
        close(got.0, lower, 1e-10);
        close(got.1, upper, 1e-10);
    }
}

#[test]
fn hand_line_catches_have_their_pooled_limits() {
    // Polovina (1985), Fishery Bulletin 84, by way of FSAdata: catches of 13 days.
    let effort = 312.3;
    for (fish, lower, upper) in [
        (742, 2.2080198097, 2.55320366376),
        (261, 0.737410632199, 0.94351926208),
        (314, 0.897297418168, 1.12303286466),
    ] {
        let got = exact_rate_limits(fish, effort, 0.95).expect("limits");
        close(got.0, lower, 1e-9);
        close(got.1, upper, 1e-9);
    }
}

proptest! {
    #[test]
    fn limits_hold_the_estimate_and_scale_with_exposure(count in 0..2000_u64, hours in 0.1..500.0_f64) {
        let (lower, upper) = exact_rate_limits(count, hours, 0.95).expect("limits");
        let rate = count as f64 / hours;
        prop_assert!(lower <= rate && rate < upper);
        let (half_lower, half_upper) = exact_rate_limits(count, 2.0 * hours, 0.95).expect("limits");
        prop_assert!((2.0 * half_lower - lower).abs() <= 1e-12 * lower);
        prop_assert!((2.0 * half_upper - upper).abs() <= 1e-12 * upper);
    }
}
