//! What must hold whatever the data.

use peglore::statistics::expectation::{Ahead, Fit, WalkForward, fit, walk_forward};

use super::{close, foretell};
use crate::statistics::reference_days::ozone;

#[test]
fn changing_the_day_itself_or_any_later_day_changes_no_prediction() {
    let (rows, layout) = ozone();
    let before = walk_forward(&rows, &layout).expect("every fit settles");
    for from in [30, 47, 80, 115] {
        let mut changed = rows.clone();
        for row in &mut changed[from..] {
            row.catch = 1000.0 - row.catch;
            row.features[0] = None;
        }
        // The day's own weather of the days before is known before it; its catch is not.
        changed[from].features = rows[from].features;
        let after = walk_forward(&changed, &layout).expect("every fit settles");
        let foretold = from + 1 - 26;
        for (one, other) in before.foretold[..foretold].iter().zip(&after.foretold) {
            assert_eq!(
                (one.season, one.season_and_form, one.expected),
                (other.season, other.season_and_form, other.expected)
            );
        }
    }
}

#[test]
fn leaving_out_all_later_days_changes_no_prediction() {
    let (rows, layout) = ozone();
    let whole = walk_forward(&rows, &layout).expect("every fit settles");
    let short = walk_forward(&rows[..70], &layout).expect("every fit settles");
    assert_eq!(short.foretold[..], whole.foretold[..44]);
}

#[test]
fn counting_effort_in_half_hours_changes_no_expected_catch() {
    let (rows, layout) = ozone();
    let mut halves = rows.clone();
    halves.iter_mut().for_each(|row| row.effort *= 2.0);
    let (_, hours) = foretell(&rows, &layout, 100, 5);
    let (_, halves) = foretell(&halves, &layout, 100, 5);
    for (one, other) in hours.iter().zip(&halves) {
        close("expected catch", other.catch, one.catch);
    }
}

#[test]
fn twice_the_effort_is_expected_to_catch_twice_as_much() {
    let (rows, layout) = ozone();
    let fitted = fit(&rows[..100], &layout).expect("the fit settles");
    let day = rows[100].ahead();
    let once = fitted.expect(&day);
    let twice = fitted.expect(&Ahead {
        effort: 2.0 * day.effort,
        ..day
    });
    close("catch", twice.catch, 2.0 * once.catch);
    close("rate", twice.rate(), once.rate());
}

#[test]
fn moving_the_record_by_whole_blocks_of_days_changes_nothing() {
    let (rows, layout) = ozone();
    let mut later = rows.clone();
    later.iter_mut().for_each(|row| row.day += 14 * 1000);
    let one = walk_forward(&rows, &layout).expect("every fit settles");
    let other = walk_forward(&later, &layout).expect("every fit settles");
    for (one, other) in one.foretold.iter().zip(&other.foretold) {
        close("expected", other.expected, one.expected);
    }
}

#[test]
fn a_fit_kept_as_text_says_the_same_when_read_back() {
    let (rows, layout) = ozone();
    let fitted = fit(&rows[..100], &layout).expect("the fit settles");
    let text = serde_json::to_string(&fitted).expect("a fit can be kept");
    let read: Fit = serde_json::from_str(&text).expect("a fit can be read");
    // Decimal text may move the last bit of a number.
    let (one, other) = (
        fitted.expect(&rows[100].ahead()),
        read.expect(&rows[100].ahead()),
    );
    close("catch", other.catch, one.catch);
    close(
        "effective days",
        other.like_days.effective_days,
        one.like_days.effective_days,
    );
    assert_eq!((read.form, read.weights), (fitted.form, fitted.weights));
    let walk = walk_forward(&rows, &layout).expect("every fit settles");
    let text = serde_json::to_string(&walk).expect("a walk can be kept");
    let read: WalkForward = serde_json::from_str(&text).expect("a walk can be read");
    close(
        "skill",
        read.weather_skill().unwrap_or(f64::NAN),
        0.300654019,
    );
}

#[test]
fn an_expectation_is_the_product_of_its_parts() {
    let (rows, layout) = ozone();
    let fitted = fit(&rows[..100], &layout).expect("the fit settles");
    let told = fitted.expect(&rows[100].ahead());
    close(
        "product",
        told.catch,
        told.season * told.form.multiplier * told.weather_multiplier,
    );
    let sum: f64 = told.regression.by_feature.iter().sum();
    close("features", told.regression.ln_multiplier, sum);
}
