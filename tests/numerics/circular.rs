//! Values of R circular 0.4-95 and worked by hand; the source stands beside each.

use peglore::numerics::circular::{mean_direction, vector_mean};
use proptest::prelude::*;

use crate::tables::close;

/// Zar, Biostatistical Analysis, circular chapter: eight trees leaning.
const TREES: [f64; 8] = [45.0, 55.0, 81.0, 96.0, 110.0, 117.0, 132.0, 154.0];

/// Fisher (1993), Statistical Analysis of Circular Data, appendix B3: 76 turtles.
const TURTLES: [f64; 76] = [
    8.0, 9.0, 13.0, 13.0, 14.0, 18.0, 22.0, 27.0, 30.0, 34.0, 38.0, 38.0, 40.0, 44.0, 45.0, 47.0,
    48.0, 48.0, 48.0, 48.0, 50.0, 53.0, 56.0, 57.0, 58.0, 58.0, 61.0, 63.0, 64.0, 64.0, 64.0, 65.0,
    65.0, 68.0, 70.0, 73.0, 78.0, 78.0, 78.0, 83.0, 83.0, 88.0, 88.0, 88.0, 90.0, 92.0, 92.0, 93.0,
    95.0, 96.0, 98.0, 100.0, 103.0, 106.0, 113.0, 118.0, 138.0, 153.0, 153.0, 155.0, 204.0, 215.0,
    223.0, 226.0, 237.0, 238.0, 243.0, 244.0, 250.0, 251.0, 257.0, 268.0, 285.0, 319.0, 343.0,
    350.0,
];

#[test]
fn published_directions_have_their_published_means() {
    let trees = mean_direction(&TREES).expect("eight trees");
    close(trees.degrees.expect("a direction"), 98.987_751_950_4, 1e-10);
    close(trees.resultant, 0.825_217_744_82, 1e-10);
    close(trees.spread_degrees(), 35.514_879_804_4, 1e-10);

    let turtles = mean_direction(&TURTLES).expect("76 turtles");
    close(turtles.degrees.expect("a direction"), 64.171_343_997, 1e-8);
    close(turtles.resultant, 0.497_092_101_146, 1e-10);
    close(turtles.spread_degrees(), 67.743_868_175_4, 1e-10);
}

#[test]
fn bearings_spread_evenly_have_no_mean() {
    let even = mean_direction(&[0.0, 45.0, 90.0, 135.0, 180.0, 225.0, 270.0, 315.0]);
    let even = even.expect("eight bearings");
    assert!(even.resultant < 1e-15);
    assert_eq!(even.degrees, None);
}

#[test]
fn winds_average_as_vectors() {
    // Bearings, speeds; u, v, vector speed, bearing, plain speed, steadiness (worked by hand,
    // convention of US EPA-454/R-99-005, 6.2).
    type Case = (&'static [f64], &'static [f64], [f64; 6]);
    let cases: [Case; 5] = [
        (
            &[350.0, 10.0],
            &[5.0, 5.0],
            [0.0, -4.92403876506, 4.92403876506, 0.0, 5.0, 0.984807753012],
        ),
        (
            &[270.0, 180.0],
            &[3.0, 4.0],
            [1.5, 2.0, 2.5, 216.869897646, 3.5, 0.714285714286],
        ),
        (
            &[350.0, 10.0, 200.0, 225.0],
            &[2.0, 4.0, 8.0, 6.0],
            [
                1.6578763696,
                1.46283378383,
                2.21098094429,
                228.576301477,
                5.0,
                0.442196188857,
            ],
        ),
        (
            &[0.0, 240.0, 250.0],
            &[0.0, 6.0, 7.0],
            [
                3.92466692274,
                1.79804700109,
                4.31694144882,
                245.385588885,
                4.33333333333,
                0.99621725742,
            ],
        ),
        (
            &[45.0],
            &[10.0],
            [-7.07106781187, -7.07106781187, 10.0, 45.0, 10.0, 1.0],
        ),
    ];
    for (bearings, speeds, want) in cases {
        let winds: Vec<_> = bearings
            .iter()
            .map(|b| Some(*b))
            .zip(speeds.iter().copied())
            .collect();
        let mean = vector_mean(&winds).expect("some winds");
        let bearing = mean.from_degrees.expect("a bearing");
        // North is 0 and 360.
        let bearing = if want[3] == 0.0 && bearing > 180.0 {
            bearing - 360.0
        } else {
            bearing
        };
        let steadiness = mean.steadiness.expect("some wind");
        let got = [
            mean.eastward,
            mean.northward,
            mean.speed,
            bearing,
            mean.scalar_speed,
            steadiness,
        ];
        for (got, want) in got.into_iter().zip(want) {
            close(got, want, 1e-9);
        }
    }
}

#[test]
fn the_standard_pairs_of_wind_come_out() {
    // Same convention, further pairs worked by hand.
    let mean = vector_mean(&[(Some(350.0), 4.0), (Some(10.0), 4.0)]).expect("two");
    close(mean.speed, 3.9392, 2e-5);
    let mean =
        vector_mean(&[(Some(225.0), 5.0), (Some(247.5), 7.0), (Some(270.0), 3.0)]).expect("three");
    close(mean.speed, 4.8038, 2e-5);
    close(mean.from_degrees.expect("a bearing"), 244.46, 2e-5);
    let none = vector_mean(&[(Some(90.0), 2.0), (Some(270.0), 2.0)]).expect("two");
    assert_eq!(none.from_degrees, None);
}

proptest! {
    #[test]
    fn turning_every_wind_turns_the_mean_and_leaves_its_steadiness(
        winds in prop::collection::vec((0.0..360.0_f64, 0.5..20.0_f64), 1..8),
        turn in 0.0..360.0_f64,
    ) {
        let plain: Vec<_> = winds.iter().map(|(d, s)| (Some(*d), *s)).collect();
        let turned: Vec<_> = winds.iter().map(|(d, s)| (Some(d + turn), *s)).collect();
        let (plain, turned) = (vector_mean(&plain).expect("some"), vector_mean(&turned).expect("some"));
        prop_assert!((plain.speed - turned.speed).abs() < 1e-9);
        prop_assert!(plain.speed <= plain.scalar_speed + 1e-9);
        if let (Some(one), Some(other), true) = (plain.from_degrees, turned.from_degrees, plain.speed > 0.01) {
            let gap = (other - one - turn).rem_euclid(360.0);
            prop_assert!(gap.min(360.0 - gap) < 1e-6);
        }
    }
}
