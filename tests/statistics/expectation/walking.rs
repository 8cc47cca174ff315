//! Walking forward through a record, against the reference's windows and skill.

use peglore::statistics::expectation::{Verdict, Window, walk_forward};
use rand::{SeedableRng, rngs::ChaCha8Rng};

use super::{all_close, close};
use crate::statistics::reference_days::{light_trap, ozone};

/// Rows, strength, tenths of like days and of regression, λ, and the three deviances.
type ExpectedWindow = (usize, f64, u8, u8, f64, [f64; 3]);

fn windows_are(windows: &[Window], expected: &[ExpectedWindow]) {
    assert_eq!(windows.len(), expected.len());
    for (i, (window, (days, strength, like_days, regression, penalty, deviances))) in
        windows.iter().zip(expected).enumerate()
    {
        assert_eq!(window.days, *days, "window {}", i + 1);
        assert_eq!(window.form.strength, *strength, "window {}", i + 1);
        assert_eq!(
            window.weights.like_days_tenths,
            *like_days,
            "window {}",
            i + 1
        );
        assert_eq!(
            window.weights.regression_tenths,
            *regression,
            "window {}",
            i + 1
        );
        assert_eq!(window.penalty, *penalty, "window {}", i + 1);
        let got = window.deviances;
        all_close(
            &format!("deviances of window {}", i + 1),
            [got.season, got.season_and_form, got.all],
            deviances,
        );
    }
}

#[test]
fn walking_forward_through_the_light_trap_gives_the_reference_windows_and_skill() {
    let (rows, layout) = light_trap();
    let walk = walk_forward(&rows, &layout).expect("every fit settles");
    windows_are(
        &walk.windows,
        &[
            (5, 0.0, 0, 8, 40.0, [71.7960028, 71.7960028, 14.3282285]),
            (7, 0.0, 0, 9, 10.0, [9.59032087, 9.59032087, 2.33785742]),
            (9, 0.0, 0, 10, 40.0, [10.9411224, 10.9411224, 5.92722993]),
            (2, 0.0, 1, 9, 10.0, [0.4063057, 0.4063057, 0.00643035127]),
        ],
    );
    close(
        "skill",
        walk.weather_skill().unwrap_or(f64::NAN),
        0.756294276,
    );
    assert_eq!(walk.form_skill(), Some(0.0));
}

#[test]
fn walking_forward_through_ozone_gives_the_reference_windows_and_skill() {
    let (rows, layout) = ozone();
    let walk = walk_forward(&rows, &layout).expect("every fit settles");
    windows_are(
        &walk.windows,
        &[
            (9, 0.25, 0, 3, 40.0, [5.80971382, 5.69383904, 5.29977375]),
            (11, 0.25, 0, 0, 160.0, [15.2023562, 13.5077526, 13.5077526]),
            (12, 0.0, 0, 9, 80.0, [18.496322, 18.496322, 12.5832839]),
            (12, 0.0, 0, 10, 160.0, [21.9927082, 21.9927082, 17.1126284]),
            (12, 0.0, 0, 10, 160.0, [26.2980761, 26.2980761, 16.9725724]),
            (13, 0.0, 0, 10, 160.0, [10.980543, 10.980543, 2.99967524]),
            (14, 0.0, 0, 10, 160.0, [36.0832475, 36.0832475, 23.0671056]),
            (7, 0.5, 0, 10, 160.0, [14.4264219, 14.2444821, 11.4687525]),
        ],
    );
    close(
        "skill",
        walk.weather_skill().unwrap_or(f64::NAN),
        0.300654019,
    );
    close(
        "form skill",
        walk.form_skill().unwrap_or(f64::NAN),
        0.0133460136,
    );

    // Reference percentiles 0.210 and 0.382 are from 99,999 resamples, to ±0.01.
    let mut generator = ChaCha8Rng::seed_from_u64(7);
    let skill = walk
        .weather_bootstrap(99_999, &mut generator)
        .expect("eight windows");
    assert!((skill.fifth - 0.210).abs() <= 0.01, "{skill:?}");
    assert!((skill.ninety_fifth - 0.382).abs() <= 0.01, "{skill:?}");
}

#[test]
fn eight_fortnights_are_too_few_to_claim_anything() {
    let (rows, layout) = ozone();
    let walk = walk_forward(&rows, &layout).expect("every fit settles");
    let honesty = walk.honesty(&mut ChaCha8Rng::seed_from_u64(7));
    assert_eq!(honesty.verdict, Verdict::TooFewDays);
    assert_eq!((honesty.weather, honesty.form), (None, None));
    assert_eq!(
        (honesty.days, honesty.windows, honesty.days_foretold),
        (116, 8, 90)
    );
}
