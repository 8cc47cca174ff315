//! Days foretold, to the last digit that the reference prints.

use peglore::statistics::expectation::Features;

use super::{all_close, close, foretell};
use crate::statistics::reference_days::{light_trap, ozone};

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
