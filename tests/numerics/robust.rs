//! Theil–Sen against scipy 1.17.1 (`theilslopes`) and published examples.

use peglore::numerics::robust::{median, theil_sen};
use proptest::prelude::*;

use crate::tables::{close, number, rows};

fn over_time(values: &[f64]) -> Vec<(f64, f64)> {
    values
        .iter()
        .enumerate()
        .map(|(x, y)| (x as f64, *y))
        .collect()
}

#[test]
fn published_series_have_their_slopes() {
    // Cloud seeding, Hollander & Wolfe (from memory); many ties, made up.
    let cases: [(&[f64], f64, f64); 2] = [
        (&[1.26, 1.27, 1.12, 1.16, 1.03], -0.05625, 1.2725),
        (
            &[3.0, 3.0, 5.0, 2.0, 4.0, 4.0, 6.0, 3.0, 7.0, 7.0],
            0.333_333_333_333,
            2.5,
        ),
    ];
    for (values, slope, intercept) in cases {
        let line = theil_sen(&over_time(values)).expect("a line");
        close(line.slope, slope, 1e-9);
        close(line.intercept, intercept, 1e-9);
    }
}

#[test]
fn lake_huron_sank_by_a_fortieth_of_a_foot_a_year() {
    let levels: Vec<_> = rows("LakeHuron.csv")
        .iter()
        .map(|row| number(row, "value").expect("a level"))
        .collect();
    assert_eq!(levels.len(), 98);
    let line = theil_sen(&over_time(&levels)).expect("a line");
    close(line.slope, -0.025125, 1e-9);
    close(line.intercept, 580.338_562_5, 1e-9);
}

proptest! {
    #[test]
    fn one_wild_value_of_seven_cannot_carry_the_slope_off(
        slope in -2.0..2.0_f64, wild in -1e6..1e6_f64, place in 0..7_usize,
    ) {
        let mut points: Vec<_> = (0..7).map(|x| (f64::from(x), slope * f64::from(x))).collect();
        points[place].1 = wild;
        let got = theil_sen(&points).expect("a line").slope;
        prop_assert!((got - slope).abs() < 1e-9);
    }

    #[test]
    fn the_median_has_as_many_above_as_below(values in prop::collection::vec(-1e3..1e3_f64, 1..40)) {
        let middle = median(&values).expect("values");
        let above = values.iter().filter(|v| **v > middle).count();
        let below = values.iter().filter(|v| **v < middle).count();
        prop_assert!(above <= values.len() / 2 && below <= values.len() / 2);
    }
}
