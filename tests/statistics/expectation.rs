//! What to expect, against figures worked independently, and what must hold whatever the data.

use peglore::statistics::expectation::{
    Ahead, Expectation, Features, Fit, FitError, Layout, Row, Verdict, WalkForward, Window, fit,
    walk_forward,
};
use rand::{SeedableRng, rngs::ChaCha8Rng};

use super::reference_days::{light_trap, ozone};

fn close(what: &str, got: f64, expected: f64) {
    // Printed to nine digits, so half a unit of the ninth is allowed besides.
    let tolerance = 1e-6 * expected.abs() + 1e-12;
    assert!(
        (got - expected).abs() <= tolerance,
        "{what}: got {got}, expected {expected}"
    );
}

fn all_close(what: &str, got: impl IntoIterator<Item = f64>, expected: &[f64]) {
    let got: Vec<f64> = got.into_iter().collect();
    assert_eq!(got.len(), expected.len(), "{what}");
    for (got, expected) in got.iter().zip(expected) {
        close(what, *got, *expected);
    }
}

/// Expectations of the rows from `first` on, by a fit of the rows before it.
fn foretell(rows: &[Row], layout: &Layout, first: usize, count: usize) -> (Fit, Vec<Expectation>) {
    let fitted = fit(&rows[..first], layout).expect("the fit settles");
    let mut outlook = fitted.outlook();
    let told = rows[first..first + count]
        .iter()
        .map(|row| {
            let told = outlook.expect(&row.ahead());
            outlook.learn(row);
            told
        })
        .collect();
    (fitted, told)
}

fn anomalies(features: &Features) -> impl Iterator<Item = f64> {
    features
        .iter()
        .map(|g| g.expect("no feature of this row is missing"))
}

#[test]
fn light_trap_catches_are_foretold_to_the_last_digit() {
    let (rows, layout) = light_trap();
    let (fit, told) = foretell(&rows, &layout, 40, 5);

    close("theta", fit.season.theta, 0.5);
    all_close(
        "season",
        fit.season.coefficients,
        &[
            4.36466796,
            -0.301146942,
            -0.169737425,
            0.836068615,
            0.533608554,
        ],
    );
    let mu = [240.853133, 236.049661, 231.110538, 199.643272, 194.254015];
    all_close("season's mu", told.iter().map(|t| t.season), &mu);
    assert_eq!((fit.form.fading_days, fit.form.strength), (10.0, 0.0));
    all_close(
        "form",
        told.iter().map(|t| t.form.form),
        &[
            -0.425672018,
            -0.48793078,
            -0.553916218,
            -0.462431337,
            -0.547239593,
        ],
    );
    all_close("mu after form", told.iter().map(|t| t.season_and_form), &mu);
    all_close(
        "anomalies of row 41",
        anomalies(&told[0].anomalies),
        &[
            0.00463823315,
            -0.475519813,
            -2.2902512,
            -0.850286994,
            -2.25000327,
            -0.446432522,
            1.99555576,
            0.739580477,
        ],
    );
    all_close(
        "A",
        told.iter().map(|t| t.like_days.observed_over_expected),
        &[
            0.244592066,
            0.303159297,
            0.480362272,
            0.276058831,
            0.350865078,
        ],
    );
    all_close(
        "n_eff",
        told.iter().map(|t| t.like_days.effective_days),
        &[6.48840894, 6.20858152, 4.32919739, 4.01280046, 4.15264845],
    );
    all_close(
        "like days",
        told.iter().map(|t| t.like_days.ln_multiplier),
        &[
            -0.498362914,
            -0.437533424,
            -0.245634309,
            -0.342675909,
            -0.308578823,
        ],
    );
    assert_eq!(fit.regression.penalty, 40.0);
    all_close(
        "coefficients",
        fit.regression.coefficients.iter().copied(),
        &[
            0.0906832832,
            0.0516974308,
            0.00489078588,
            -0.0246043758,
            0.201140854,
            -0.0810393891,
            -0.0296314099,
            -0.0440813819,
            -0.0202225863,
            0.0461402073,
            0.0355874547,
            -0.0813470112,
            -0.0799229426,
            -0.0441851831,
            0.00108092478,
            0.0220380533,
            -0.176285404,
            0.0790278121,
            0.0250226278,
            0.0386396626,
        ],
    );
    all_close(
        "regression",
        told.iter().map(|t| t.regression.ln_multiplier),
        &[
            -1.0884694,
            -0.683587314,
            0.108257006,
            -0.740455069,
            -0.38686747,
        ],
    );
    assert_eq!(
        (fit.weights.like_days_tenths, fit.weights.regression_tenths),
        (0, 10)
    );
    all_close(
        "expected catch",
        told.iter().map(|t| t.catch),
        &[81.102837, 119.158543, 257.534353, 95.2092466, 131.933656],
    );
    assert_eq!(
        rows[40..45].iter().map(|r| r.catch).collect::<Vec<_>>(),
        [70.0, 53.0, 95.0, 43.0, 62.0]
    );
}

#[test]
fn ozone_with_effort_blanks_gaps_and_form_is_foretold_to_the_last_digit() {
    let (rows, layout) = ozone();
    assert_eq!(rows.len(), 116);
    assert_eq!(rows.iter().filter(|row| row.catch == 0.0).count(), 10);
    let missing = rows
        .iter()
        .flat_map(|row| row.features)
        .filter(Option::is_none)
        .count();
    assert_eq!(missing, 19);

    let (fit, told) = foretell(&rows, &layout, 100, 5);

    close("theta", fit.season.theta, 2.1356625);
    all_close(
        "season",
        fit.season.coefficients,
        &[
            3.52070827,
            -0.302913826,
            -0.0963804412,
            0.287125159,
            0.255771062,
        ],
    );
    all_close(
        "season's mu",
        told.iter().map(|t| t.season),
        &[87.8944238, 43.3712011, 85.6043834, 42.2407579, 83.3748738],
    );
    assert_eq!((fit.form.fading_days, fit.form.strength), (10.0, 0.25));
    all_close(
        "form",
        told.iter().map(|t| t.form.form),
        &[
            -0.0710026038,
            -0.154484869,
            -0.204346109,
            -0.175068799,
            -0.211192436,
        ],
    );
    all_close(
        "mu after form",
        told.iter().map(|t| t.season_and_form),
        &[86.3480061, 41.7280863, 81.3409811, 40.4318719, 79.0870292],
    );
    all_close(
        "anomalies of row 101",
        anomalies(&told[0].anomalies),
        &[
            -1.29239731,
            -1.11083028,
            -1.97385158,
            0.378414171,
            -1.16991918,
            2.03338816,
            -0.8097081,
            0.431092909,
        ],
    );
    all_close(
        "A",
        told.iter().map(|t| t.like_days.observed_over_expected),
        &[
            0.73332744,
            0.744585757,
            1.20648497,
            0.740104653,
            0.835448736,
        ],
    );
    all_close(
        "n_eff",
        told.iter().map(|t| t.like_days.effective_days),
        &[7.13004251, 7.21370177, 8.01441286, 7.36656705, 7.44944949],
    );
    all_close(
        "like days",
        told.iter().map(|t| t.like_days.ln_multiplier),
        &[
            -0.15643386,
            -0.150168738,
            0.111615095,
            -0.154589538,
            -0.0955669526,
        ],
    );
    assert_eq!(fit.regression.penalty, 160.0);
    all_close(
        "coefficients",
        fit.regression.coefficients.iter().copied(),
        &[
            0.102539978,
            0.0789439709,
            0.0989933457,
            -0.123952683,
            -0.0177495552,
            0.0017673687,
            0.0101203866,
            0.0217296646,
            0.0220157839,
            -0.0333712055,
            0.00810272628,
            -0.0312980086,
            -0.0809536496,
            -0.061621361,
            -0.0805909222,
            0.0919317059,
            0.0216177197,
            0.00420569292,
            -0.0100681618,
            -0.0168898242,
        ],
    );
    all_close(
        "regression",
        told.iter().map(|t| t.regression.ln_multiplier),
        &[
            -0.651117256,
            -0.472601669,
            0.255804321,
            -0.698155616,
            -0.270477482,
        ],
    );
    assert_eq!(
        (fit.weights.like_days_tenths, fit.weights.regression_tenths),
        (0, 10)
    );
    all_close(
        "expected catch",
        told.iter().map(|t| t.catch),
        &[45.0272768, 26.0123848, 105.051876, 20.1149389, 60.3445961],
    );
    assert_eq!(
        rows[100..105].iter().map(|r| r.catch).collect::<Vec<_>>(),
        [0.0, 13.0, 92.0, 18.0, 26.0]
    );
}

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

fn plain_row(day: i64, catch: f64, features: Features) -> Row {
    Row {
        day,
        doy: (day % 365) as i32 + 1,
        effort: 4.0,
        catch,
        features,
    }
}

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
