//! Records of nothing, of one day, of no weather; and rows that cannot be read.

use peglore::statistics::expectation::{Ahead, FitError, Layout, Row, fit, walk_forward};

use super::{close, foretell, plain_row};
use crate::statistics::reference_days::ozone;

#[test]
fn with_no_fish_there_is_no_rate_to_expect_and_it_is_said() {
    let rows: Vec<Row> = (0..40).map(|i| plain_row(7 * i, 0.0, [None; 8])).collect();
    assert_eq!(fit(&rows, &Layout::RUN_UP), Err(FitError::NothingCaught));
    let walk = walk_forward(&rows, &Layout::RUN_UP).expect("walking over blanks is no fault");
    assert_eq!((walk.windows.len(), walk.skipped), (0, 7));
    assert_eq!(walk.weather_skill(), None);
}

#[test]
fn days_before_the_first_fish_are_skipped_and_later_ones_foretold() {
    let rows: Vec<Row> = (0..60)
        .map(|i| plain_row(7 * i, if i < 29 { 0.0 } else { 5.0 }, [None; 8]))
        .collect();
    let walk = walk_forward(&rows, &Layout::RUN_UP).expect("every fit settles");
    assert_eq!(walk.skipped, 2);
    assert_eq!(walk.foretold.len(), 60 - 26 - 4);
    assert!(
        walk.foretold
            .iter()
            .all(|day| day.expected.is_finite() && day.expected > 0.0)
    );
}

#[test]
fn one_row_is_enough_for_a_season_and_nothing_else() {
    let rows = [plain_row(100, 12.0, [Some(1.0); 8])];
    let fitted = fit(&rows, &Layout::RUN_UP).expect("the fit settles");
    let told = fitted.expect(&rows[0].ahead());
    close("the day itself", told.season, 12.0);
    assert!(told.anomalies.iter().all(Option::is_none));
    assert!(fitted.weights.are_nought());
    assert_eq!(told.weather_multiplier, 1.0);
    assert_eq!(
        walk_forward(&rows, &Layout::RUN_UP)
            .expect("nothing to walk")
            .foretold,
        []
    );
    assert_eq!(fit(&[], &Layout::RUN_UP), Err(FitError::NoDays));
}

#[test]
fn a_feature_that_never_changes_or_is_never_known_tells_nothing() {
    let (rows, layout) = ozone();
    let mut constant = rows.clone();
    let mut missing = rows.clone();
    constant
        .iter_mut()
        .for_each(|row| row.features[5] = Some(11.0));
    missing.iter_mut().for_each(|row| row.features[5] = None);
    let (constant, told_constant) = foretell(&constant, &layout, 100, 1);
    let (missing, told_missing) = foretell(&missing, &layout, 100, 1);
    assert!(constant.regression.coefficients[5].abs() < 1e-9);
    assert_eq!(missing.regression.coefficients[5], 0.0);
    assert_eq!(missing.anomalies.seasons[5], None);
    assert!(told_constant[0].regression.by_feature[5].abs() < 1e-9);
    assert_eq!(told_missing[0].regression.by_feature[5], 0.0);
    assert!(told_constant[0].catch.is_finite() && told_missing[0].catch.is_finite());
}

#[test]
fn with_no_weather_at_all_season_and_form_remain() {
    let (mut rows, layout) = ozone();
    rows.iter_mut().for_each(|row| row.features = [None; 8]);
    let walk = walk_forward(&rows, &layout).expect("every fit settles");
    assert_eq!(walk.foretold.len(), 90);
    for window in &walk.windows {
        assert!(window.deviances.all.is_finite());
    }
    let told = fit(&rows, &layout)
        .expect("the fit settles")
        .expect(&Ahead {
            day: 400,
            doy: 35,
            effort: 1.0,
            features: [None; 8],
        });
    assert_eq!(told.regression.ln_multiplier, 0.0);
}

#[test]
fn rows_that_cannot_be_read_are_named() {
    let good = plain_row(10, 3.0, [None; 8]);
    let layout = Layout::RUN_UP;
    let no_effort = Row {
        effort: 0.0,
        ..good.clone()
    };
    assert_eq!(
        fit(&[no_effort], &layout),
        Err(FitError::NoEffort { day: 10 })
    );
    let below = Row {
        catch: -1.0,
        ..good.clone()
    };
    assert_eq!(
        fit(&[below], &layout),
        Err(FitError::CatchUnreadable { day: 10 })
    );
    assert_eq!(
        fit(&[good.clone(), good], &layout),
        Err(FitError::OutOfOrder { day: 10 })
    );
}
